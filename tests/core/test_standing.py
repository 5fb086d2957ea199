from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.hearing import heard, history
from tests.core.notes import read
from tracker.core.curve import Curve
from tracker.core.heard import Heard
from tracker.core.standing import Standing, standing
from tracker.core.watch import WoundBy
from tracker.core.windby import hours_at_risk, stopped_h

WOUND = datetime(2026, 3, 2, 8, tzinfo=UTC)
CURVE = Curve(20.0, 80.0, tuple(1.0 / (1.0 + (np.geomspace(20.0, 80.0, 200) / 42.0) ** 24)))
P = 0.05


def after(hours: float, text: str = "2026-03-02 08:00 wound", wound_by: WoundBy = "crown") -> Standing:
    return standing(read(text, wound_by=wound_by), CURVE, P, WOUND + timedelta(hours=hours))


@pytest.mark.parametrize(
    ("hours", "word"), [(1, "going"), (12, "going"), (13, "going, probably"), (38, "may have stopped"), (60, "stopped")]
)
def test_the_word_fades_from_going_to_stopped(hours: float, word: str) -> None:
    assert after(hours).word == word


def test_seen_lately_it_is_going_again() -> None:
    assert after(34, "2026-03-02 08:00 wound\n2026-03-03 17:00 seen going").word == "going"


def test_past_the_wind_by_it_may_have_stopped_and_past_one_in_a_thousand_it_has() -> None:
    q, end = hours_at_risk(CURVE, P), stopped_h(CURVE)
    assert [after(q + d).word for d in (-0.01, 0.01)] == ["going, probably", "may have stopped"]
    assert [after(end + d).word for d in (-0.01, 0.01)] == ["may have stopped", "stopped"]


@pytest.mark.parametrize("note", ["stopped", "stopped on purpose"])
def test_seen_stopped_it_is_stopped_with_nothing_left(note: str) -> None:
    assert after(3, f"2026-03-02 08:00 wound\n2026-03-02 10:00 {note}") == Standing(word="stopped")


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-02 08:00 reading",
        "2026-03-02 08:00 service",
        "2026-03-01 08:00 part wound",
        "2026-03-01 08:00 unsure wound",
        "2026-03-01 08:00 wound\n2026-03-01 09:00 stopped\n2026-03-01 10:00 seen going",
    ],
)
def test_without_a_full_wind_it_wants_a_look_and_has_no_wind_by(text: str) -> None:
    assert after(0, text) == Standing(word="unknown", look=True)


FELL_SILENT = heard("2026-03-02 08:05 – 2026-03-03 02:00  stopped")
LOST = heard("2026-03-02 08:05 – 2026-03-03 02:00  lost\n2026-03-03 03:00 – 2026-03-04 03:00  lost")


def on_a_sensor(hours: float, what: Heard) -> Standing:
    return standing(history("2026-03-02 08:00 wound", what), CURVE, P, WOUND + timedelta(hours=hours))


def test_lifted_or_stopped_it_is_not_known_but_the_wind_by_stays() -> None:
    q = hours_at_risk(CURVE, P)
    assert [on_a_sensor(hours, FELL_SILENT).word for hours in (19, 30, 38, 60)] == [
        "unknown",
        "unknown",
        "may have stopped",
        "stopped",
    ]
    assert on_a_sensor(19, FELL_SILENT).wind_by == pytest.approx(WOUND + timedelta(hours=q), abs=timedelta(minutes=30))


def test_what_a_sensor_tells_that_had_lost_it_moves_no_wind_by() -> None:
    late = on_a_sensor(42, LOST)
    assert late.word == "going, probably"
    assert late.wind_by == pytest.approx(WOUND + timedelta(hours=hours_at_risk(CURVE, P)), abs=timedelta(minutes=30))
    assert late.chance_going > 0.5


def test_part_wound_just_now_it_probably_goes_but_wants_a_look() -> None:
    assert after(1, "2026-03-02 08:00 part wound") == Standing(word="going, probably", look=True)


def test_an_automatic_on_the_wrist_has_no_wind_by() -> None:
    worn = after(2, "2026-03-02 08:00 wound\n2026-03-02 09:00 put on", wound_by="crown and rotor")
    assert (worn.word, worn.look, worn.wind_by) == ("going, probably", True, None)


def test_without_a_curve_nothing_is_said_of_what_was_not_seen() -> None:
    history = read("2026-03-02 08:00 wound")
    assert standing(history, None, P, WOUND + timedelta(hours=20)) == Standing(word="unknown", look=True)


def test_a_sighting_moves_the_wind_by_on() -> None:
    seen = after(37, "2026-03-02 08:00 wound\n2026-03-03 20:00 seen going")
    assert seen.seen_going_h == 36
    assert seen.wind_by == WOUND + timedelta(hours=hours_at_risk(CURVE, P, seen_going_h=36))
    assert seen.chance_going > after(37).chance_going


def test_the_wind_by_counts_from_the_earliest_possible_wind() -> None:
    sure, unsure = after(10).wind_by, after(10, "2026-03-02 08:00 ±180 wound").wind_by
    assert sure is not None
    assert unsure == sure - timedelta(hours=3)


def test_a_loose_winding_never_puts_the_wind_by_before_the_last_sighting() -> None:
    seen = after(43.9, "2026-03-02 08:00 ±180 wound\n2026-03-04 03:50 seen going")
    assert seen.wind_by == WOUND + timedelta(hours=43, minutes=50)


@given(st.floats(0.0, 100.0), st.integers(0, 180))
def test_hours_left_end_low_at_the_wind_by(hours: float, within_min: int) -> None:
    found = after(hours, f"2026-03-02 08:00 ±{within_min} wound")
    assert found.wind_by is not None
    assert found.left_h is not None
    left_h = (found.wind_by - WOUND) / timedelta(hours=1) - hours
    assert found.left_h.low == pytest.approx(max(0.0, left_h), abs=1e-6)
    assert found.left_h.low <= found.left_h.mid <= found.left_h.high
    assert 0.0 <= found.chance_going <= 1.0


def test_wound_loosely_and_over_it_is_called_stopped_only_when_sure() -> None:
    history = read("2026-03-02 08:00 ±180 wound")
    end = WOUND + timedelta(hours=stopped_h(CURVE))
    assert standing(history, CURVE, P, end + timedelta(hours=2.9)).word == "may have stopped"
    assert standing(history, CURVE, P, end + timedelta(hours=3.1)).word == "stopped"


def test_a_sighting_held_back_moves_no_wind_by_but_the_watch_was_seen_going() -> None:
    history = read("2026-03-02 08:00 wound\n2026-03-03 08:00 seen going\n2026-03-04 20:00 seen going")
    now = WOUND + timedelta(hours=61)
    doubted = standing(history, CURVE, P, now, believed_h=24.0)
    assert doubted.wind_by == WOUND + timedelta(hours=hours_at_risk(CURVE, P, seen_going_h=24.0))
    assert doubted.word == "going, probably"
    assert doubted.seen_going_h == 24.0
    assert standing(history, CURVE, P, now + timedelta(hours=13), believed_h=24.0).word != "going, probably"


LOOSE = "2026-03-02 08:00 ±300 wound\n2026-03-03 20:00 seen going"


def test_seen_going_past_its_wind_by_it_is_going_for_as_long_as_that_is_likely() -> None:
    seen = after(36.03, LOOSE)
    assert seen.wind_by is not None
    assert seen.wind_by <= WOUND + timedelta(hours=36)
    assert seen.word == "going"
    assert seen.chance_going == pytest.approx(1.0, abs=0.01)
    assert after(39, LOOSE).word == "may have stopped"


def test_a_sighting_held_back_does_not_call_it_going() -> None:
    later = WOUND + timedelta(hours=49)
    assert standing(read(LOOSE), CURVE, P, later, believed_h=0.0).word == "may have stopped"


def test_worn_or_kept_going_by_a_winder_it_has_hours_left_and_nothing_to_wind() -> None:
    history, now = read(LOOSE), WOUND + timedelta(hours=5)
    worn, lying = (standing(history, CURVE, P, now, kept_wound=kept) for kept in (True, False))
    assert worn.wind_by is None
    assert not worn.look
    assert worn.left_h == lying.left_h
