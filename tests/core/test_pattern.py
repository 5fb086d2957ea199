"""How a reserve fell, and what else its runs show."""

import json
import random
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tracker.core.decline import hands_read
from tracker.core.pattern import (
    Gradual,
    NeverReached,
    Pattern,
    ShortFromWear,
    Sudden,
    Undecided,
    pattern_from_dict,
    pattern_to_dict,
    patterns,
)
from tracker.core.prior import prior_for
from tracker.core.reserve import estimate
from tracker.core.rundown import History, run_downs
from tracker.core.samehour import SameHour
from tracker.core.segment import present_segment
from tracker.core.timeline import Entry, Service, Shown, Sighting, Wear, Wind
from tracker.core.watch import Watch

BEGUN = datetime(2022, 1, 1, tzinfo=UTC)
NOW = datetime(2026, 1, 1, tzinfo=UTC)
DAY, HOUR = timedelta(days=1), timedelta(hours=1)
CROWN = Watch(uid="a", nickname="A")
ROTOR = Watch(uid="r", nickname="R", wound_by="crown and rotor")


def run(at: datetime, hours: float, shown: Shown | None = None) -> list[Entry]:
    """Wound full and seen to stop."""
    end = at + hours * HOUR
    return [
        Wind(uid=f"w{at}", at=at, zone="UTC", hands="set now"),
        Sighting(uid=f"g{at}", at=end - HOUR / 4, zone="UTC", seen="going"),
        Sighting(uid=f"s{at}", at=end, zone="UTC", seen="stopped", shown=shown),
    ]


def from_wear(at: datetime, hours: float) -> list[Entry]:
    """Worn a long day, laid down, seen to stop."""
    end = at + hours * HOUR
    return [
        Wear(uid=f"p{at}", at=at - 15 * HOUR, zone="UTC", act="put on"),
        Wear(uid=f"l{at}", at=at, zone="UTC", act="laid down"),
        Sighting(uid=f"g{at}", at=end - HOUR / 4, zone="UTC", seen="going"),
        Sighting(uid=f"s{at}", at=end, zone="UTC", seen="stopped"),
    ]


def service(at: datetime) -> Service:
    return Service(uid=f"v{at}", at=at, zone="UTC")


def shows(
    entries: Iterable[Entry], watch: Watch = CROWN, stated_h: float | None = 42, threshold: float = 0.1
) -> tuple[Pattern, ...]:
    """The patterns of a log as they are seen at NOW."""
    noted = list(entries)
    history: History = run_downs(watch, noted)
    segment = present_segment(history, NOW)
    found = estimate(
        segment.runs,
        prior_for(stated_h, None if stated_h else "a day or two"),
        now_years=segment.now_years,
        threshold=threshold,
    )
    return patterns(history, segment, found, threshold, shown=hands_read(noted), dial_hours=watch.dial_hours)


def life(hours_at: Iterable[float], since: datetime = BEGUN, every: timedelta = 20 * DAY, seed: int = 0) -> list[Entry]:
    """Runs of about these hours, the winding at any hour of the day."""
    rng = random.Random(seed)
    return [
        entry
        for i, hours in enumerate(hours_at)
        for entry in run(
            since + i * every + timedelta(minutes=rng.randrange(1440)), hours * rng.lognormvariate(0, 0.02)
        )
    ]


def test_a_steady_fall_is_gradual_with_its_slope() -> None:
    (found,) = shows([service(BEGUN), *life(41 * 0.95 ** (i / 18) for i in range(72))])
    assert isinstance(found, Gradual)
    assert found.probability > 0.9
    assert found.per_year.low < -0.0513 < found.per_year.high


def test_a_drop_is_sudden_with_its_age() -> None:
    (found,) = shows([service(BEGUN), *life(41 if i < 40 else 33 for i in range(72))])
    assert isinstance(found, Sudden)
    assert found.probability > 0.9
    assert found.years.low <= 40 * 20 / 365.25 <= found.years.high + 0.1


def test_whether_at_once_or_by_and_by_is_left_open_where_the_runs_leave_it_open() -> None:
    early, late = life([41, 41.5, 40.8, 41.2], every=5 * DAY), life([33, 32.7, 33.2], BEGUN + 600 * DAY, 5 * DAY)
    (found,) = shows([service(BEGUN), *early, *late])
    assert isinstance(found, Undecided)
    assert 0.3 < found.probability < 0.7


def test_without_a_fall_there_is_nothing_to_tell() -> None:
    assert shows([service(BEGUN), *life([41.0] * 72)]) == ()


def test_a_service_that_did_not_bring_it_to_the_makers_figure_is_told() -> None:
    (found,) = shows([service(BEGUN), *life([34.0] * 20)])
    assert isinstance(found, NeverReached)
    assert (found.reference, found.reference_h) == ("stated", 42)
    assert found.baseline_h.high < 38


@pytest.mark.parametrize(("after", "told"), [(33.0, True), (39.0, False), (41.0, False)])
def test_a_service_after_which_it_ran_shorter_than_before_is_told(after: float, *, told: bool) -> None:
    before, later = life([40.0] * 20), life([after] * 20, BEGUN + 500 * DAY)
    found = shows([service(BEGUN), *before, service(BEGUN + 450 * DAY), *later], stated_h=None)
    assert [type(each) for each in found] == ([NeverReached] if told else [])
    if told:
        (never,) = found
        assert isinstance(never, NeverReached)
        assert never.reference == "before"
        assert never.reference_h == pytest.approx(40, abs=1.5)


def test_where_no_service_is_known_nothing_is_said_of_one() -> None:
    assert shows(life([34.0] * 20)) == ()


@pytest.mark.parametrize(("worn_h", "told"), [(30.0, True), (40.0, False)])
def test_an_automatic_short_from_wear_but_not_from_the_crown(worn_h: float, *, told: bool) -> None:
    crown = life([41.0] * 12, every=40 * DAY)
    wear = [entry for i in range(12) for entry in from_wear(BEGUN + (20 + 40 * i) * DAY, worn_h + i % 3 / 3)]
    found = shows([service(BEGUN), *crown, *wear], ROTOR)
    assert any(isinstance(each, ShortFromWear) for each in found) == told
    for each in found:
        if isinstance(each, ShortFromWear):
            assert each.wear_h.high < each.crown_h.low


def test_stops_at_one_hour_of_the_dial_are_told() -> None:
    stops = [
        entry
        for i in range(8)
        for entry in run(
            BEGUN + 30 * i * DAY + timedelta(hours=5 * i % 12), 40.0 + (0.2 * i), Shown(minutes=(705 + 5 * i) % 720)
        )
    ]
    assert [type(each) for each in shows([service(BEGUN), *stops])] == [SameHour]


def test_each_pattern_comes_back_from_json_as_it_was() -> None:
    band = estimate((), prior_for(42), now_years=0).reserve_h
    told: list[Pattern] = [
        Gradual(0.9, band), Sudden(0.8, band), Undecided(0.5), NeverReached(0.95, "before", 40.0, band),
        SameHour(0.001, 5, 6, 700, 10), ShortFromWear(0.97, band, replace(band, mid=33.0)),
    ]  # fmt: skip
    assert [pattern_from_dict(json.loads(json.dumps(pattern_to_dict(each)))) for each in told] == told
