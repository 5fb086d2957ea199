import math
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tests.core.notes import log
from tests.core.test_away import runs_of
from tracker.core.acts import Act
from tracker.core.presentrun import PresentRun, gains_of, kept_wound, present_run
from tracker.core.rundown import run_downs
from tracker.core.standing import standing
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk

FULL = runs_of(40.0)
ROTOR = Watch(uid="w", nickname="w", wound_by="crown and rotor", crown_turns_to_full=28)
NOW = datetime.fromisoformat("2026-03-02T12:00Z")
HOUR = timedelta(hours=1)


def read(text: str, watch: Watch = ROTOR, measured: tuple[Act, ...] = ()) -> PresentRun:
    return present_run(watch, run_downs(watch, log(text)), FULL, NOW, measured)


def test_a_full_wind_counts_as_it_always_did() -> None:
    found = read("2026-03-02 08:00 wound, was going")
    assert found.wound is None
    assert found.curve is FULL
    assert found.run is not None
    assert found.run.started_at == NOW - 4 * HOUR


def test_a_run_of_unknown_strength_is_left_as_it_is() -> None:
    found = read("2026-03-02 08:00 part wound, was going")
    assert found.wound is None
    assert found.run is not None
    assert not found.run.counts_as_full


def test_laid_down_it_counts_from_there_with_what_was_seen_since() -> None:
    found = read("""
        2026-03-01 20:00 wound, was going
        2026-03-02 04:00 put on
        2026-03-02 06:00 laid down
        2026-03-02 11:00 seen going
    """)
    assert found.run is not None
    assert found.run.counts_as_full
    assert (found.run.started_at, found.run.seen_going_h) == (NOW - 6 * HOUR, 5.0)
    assert 0.8 * 40 < hours_at_risk(found.curve, 0.5) < 40.5


def test_worn_nothing_is_to_be_wound_and_the_hours_count_from_now() -> None:
    history = run_downs(ROTOR, log("2026-03-02 08:00 wound, was going\n2026-03-02 09:00 put on"))
    found = present_run(ROTOR, history, FULL, NOW)
    assert kept_wound(history, found)
    assert found.run is not None
    assert found.run.started_at == NOW


@pytest.mark.parametrize(("turns", "kept"), [(1000, True), (400, False)])
def test_a_winder_keeps_it_going_or_not(turns: int, kept: bool) -> None:  # noqa: FBT001 -- a table's column
    text = f"2026-03-02 08:00 wound, was going\n2026-03-02 09:00 on the winder, {turns}"
    history = run_downs(ROTOR, log(text))
    found = present_run(ROTOR, history, FULL, NOW)
    assert kept_wound(history, found) == kept
    assert found.wound is not None
    assert found.run is not None
    stands = standing(replace(history, current=found.run), found.curve, 0.05, NOW, kept_wound=kept)
    assert (stands.wind_by is None) == kept


def test_after_months_on_its_winder_a_look_leaves_it_there() -> None:
    found = read("2025-12-01 08:00 wound, was going\n2025-12-01 09:00 on the winder, 1000\n2026-03-02 11:00 seen going")
    assert found.wound is not None
    assert found.wound.holds == 1.0


def test_turns_that_were_measured_count_only_while_it_sits_there() -> None:
    text = "2026-03-01 08:00 wound, was going\n2026-03-01 09:00 on the winder"
    days = tuple(Act(NOW - hours * HOUR, 0.0, "on winder", 1000.0) for hours in (72, 48, 24))
    assert read(text).wound is None
    measured = read(text, measured=days)
    assert measured.wound is not None
    assert measured.wound.holds == 1.0
    off = read(text + "\n2026-03-01 10:00 off the winder", measured=days)
    assert off.wound is not None
    assert off.wound.holds is None


def test_an_owner_s_figures_come_before_the_usual_ones() -> None:
    watch = Watch(uid="w", nickname="w", wound_by="rotor only", winder_turns_a_day=900.0, wear_fills_h=10.0)
    gains = gains_of(watch, run_downs(watch, ()), FULL)
    assert gains.needs_a_day == pytest.approx((810.0, 990.0))
    assert math.exp(gains.fills[0]) == pytest.approx(10.0)
    assert gains_of(ROTOR, run_downs(ROTOR, ()), FULL).needs_a_day == (650.0, 800.0)


def test_a_reading_of_its_indicator_counts_at_once() -> None:
    watch = Watch(uid="w", nickname="w", indicator="fraction")
    found = read("2026-03-02 08:00 unsure wound, was going\n2026-03-02 11:00 reading, indicator 0.5", watch)
    assert found.run is not None
    assert found.run.started_at == NOW - HOUR
    assert hours_at_risk(found.curve, 0.5) == pytest.approx(20.0, rel=0.1)
