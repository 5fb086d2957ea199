"""What is found of a decline, and on what grounds a cue stands."""

import json
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

import pytest

from tracker.core.cue import RAISE, REARM, Step
from tracker.core.decline import Falls, Finding, Signs, find, reason, signs
from tracker.core.pattern import Undecided
from tracker.core.prior import prior_for
from tracker.core.reserve import estimate
from tracker.core.rundown import run_downs
from tracker.core.segment import present_segment
from tracker.core.servicerule import Rule
from tracker.core.timeline import Entry, Service, Sighting, Wind
from tracker.core.timing import Figure
from tracker.core.watch import Watch

SERVICED = datetime(2023, 1, 1, tzinfo=UTC)
NOW = datetime(2026, 1, 1, tzinfo=UTC)
DAY, HOUR = timedelta(days=1), timedelta(hours=1)
SERVICE = Service(uid="v", at=SERVICED, zone="UTC")


def run(day: float, hours: float) -> list[Entry]:
    """Wound so many days after the service, and seen to stop."""
    at, end = SERVICED + day * DAY, SERVICED + day * DAY + hours * HOUR
    return [
        Wind(uid=f"w{day}", at=at, zone="UTC"),
        Sighting(uid=f"g{day}", at=end - HOUR / 4, zone="UTC", seen="going"),
        Sighting(uid=f"s{day}", at=end, zone="UTC", seen="stopped"),
    ]


def found(
    entries: Iterable[Entry],
    *,
    threshold: float = 0.1,
    least_h: float | None = None,
    interval: float | None = None,
    low: Figure | None = None,
) -> Finding:
    noted = list(entries)
    watch = Watch(uid="a", nickname="A", stated_reserve_h=42, least_reserve_h=least_h)
    history = run_downs(watch, noted)
    segment = present_segment(history, NOW)
    told = estimate(segment.runs, prior_for(42), now_years=segment.now_years, threshold=threshold, least_h=least_h)
    seen = signs(watch, history, segment, told, threshold, entries=noted)
    kept = Signs.from_dict(json.loads(json.dumps(seen.to_dict())))
    return find(segment, told, kept, Rule(interval), NOW, low_amplitude=low)


def life(*lost: float, every: float = 20) -> list[Entry]:
    """Runs at even steps, each having lost such a share of 41 h."""
    return [entry for i, share in enumerate(lost) for entry in run(5 + every * i, 41 * (1 - share) + 0.3 * (i % 3))]


STEADY = [0.0] * 50
FALLING = [0.05 * i * 20 / 365 for i in range(50)]
"""Five per cent a year for 2.7 years."""
DROPPED = [0.0] * 30 + [0.25] * 20


def test_a_steady_watch_has_no_ground_for_a_cue() -> None:
    each = found([SERVICE, *life(*STEADY)])
    assert each.evidence == "enough"
    assert each.grounds.keep < REARM
    assert each.patterns == ()
    assert (each.stops, each.going, each.serviced, each.since) == (50, 0, True, SERVICED)


def test_a_falling_watch_wants_an_eye_kept_on_it_and_says_since_when() -> None:
    each = found([SERVICE, *life(*FALLING)])
    assert each.grounds.keep >= RAISE > each.grounds.advised
    assert each.lost.low < 0.15 < each.lost.high
    assert reason(each, "keep an eye") == "fallen"
    assert each.reached is not None
    assert each.reached.chance > 0.99
    assert each.reached.high is not None
    assert each.reached.low < SERVICED + 730 * DAY < each.reached.high
    assert each.grounds.service_at == SERVICED


def test_a_large_drop_asks_for_a_service_and_says_when_it_came() -> None:
    each = found([SERVICE, *life(*DROPPED)])
    assert each.grounds.advised >= RAISE
    assert reason(each, "service advised") == "fallen far"
    assert each.sudden_at is not None
    assert each.sudden_at.low <= SERVICED + (5 + 20 * 30) * DAY
    assert each.sudden_at.high >= SERVICED + (5 + 20 * 29) * DAY


@pytest.mark.parametrize(("interval", "due", "advised"), [(None, False, False), (5.0, False, False), (2.5, True, True)])
def test_past_the_owners_years_a_fall_by_the_threshold_is_enough(
    interval: float | None, *, due: bool, advised: bool
) -> None:
    each = found([SERVICE, *life(*FALLING)], interval=interval)
    assert (each.due, each.grounds.advised >= RAISE) == (due, advised)
    assert reason(each, "service advised") == ("fallen and due" if due else "fallen far")


LOW = Figure(204.0, 2)


def test_a_low_amplitude_beside_a_fall_by_the_threshold_is_enough() -> None:
    with_it, without = found([SERVICE, *life(*FALLING)], low=LOW), found([SERVICE, *life(*FALLING)])
    assert with_it.grounds.advised >= RAISE > without.grounds.advised
    assert reason(with_it, "service advised") == "fallen and low"
    assert with_it.grounds.keep == without.grounds.keep


def test_a_low_amplitude_alone_is_no_ground() -> None:
    steady, low = found([SERVICE, *life(*STEADY)]), found([SERVICE, *life(*STEADY)], low=LOW)
    assert low.grounds.keep == steady.grounds.keep < REARM
    assert low.grounds.advised < REARM


def test_a_large_fall_is_told_as_such_whatever_the_amplitude() -> None:
    assert reason(found([SERVICE, *life(*DROPPED)], low=LOW), "service advised") == "fallen far"


@pytest.mark.parametrize("lost", [STEADY, FALLING, DROPPED])
def test_without_readings_the_second_step_is_a_fall_by_twice_the_threshold(lost: list[float]) -> None:
    each = found([SERVICE, *life(*lost)])
    assert each.grounds.keep == max(each.falls.once, each.falls.below)
    assert each.grounds.advised == min(each.grounds.keep, each.falls.twice)


def test_age_alone_is_due_and_no_ground() -> None:
    each = found([SERVICE, *life(*STEADY)], interval=2.0)
    assert each.due
    assert each.due_at == SERVICED + 2 * 365.25 * DAY
    assert each.grounds.keep < REARM


def test_without_a_known_service_nothing_is_due() -> None:
    each = found(life(*STEADY), interval=2.0)
    assert (each.due, each.due_at, each.serviced, each.grounds.service_at) == (False, None, False, None)


def test_another_threshold_moves_both_steps() -> None:
    assert found([SERVICE, *life(*FALLING)], threshold=0.25).grounds.keep < REARM
    assert found([SERVICE, *life(*FALLING)], threshold=0.05).grounds.advised >= RAISE


def test_below_the_owners_least_reserve_is_a_reason_of_its_own() -> None:
    each = found([SERVICE, *life(*STEADY)], least_h=43.0)
    assert each.grounds.keep >= RAISE
    assert each.grounds.advised < REARM
    assert reason(each, "keep an eye") == "below least"
    assert found([SERVICE, *life(*FALLING)], least_h=30.0).least is not None


@pytest.mark.parametrize(
    ("entries", "evidence"),
    [([], "no run"), ([SERVICE], "no run"), ([SERVICE, *run(1000, 30)], "one stop"), ([SERVICE, *run(900, 30), *run(1000, 30)], "enough")],
)  # fmt: skip
def test_less_than_two_stops_raise_nothing(entries: list[Entry], evidence: str) -> None:
    each = found(entries)
    assert (each.evidence, each.grounds.may_raise) == (evidence, evidence == "enough")


def test_stops_known_only_from_above_do_not_pass_the_gate() -> None:
    late = [
        each
        for day in (800, 850, 900)
        for each in run(day, 30)
        if not (isinstance(each, Sighting) and each.seen == "going")
    ]
    each = found([SERVICE, *late])
    assert (each.evidence, each.stops, each.at_most) == ("at most only", 0, 3)
    assert not each.grounds.may_raise
    assert each.patterns == ()


def test_going_only_is_not_enough_either() -> None:
    winds = [Wind(uid=f"{day}", at=SERVICED + day * DAY, zone="UTC", found="going") for day in range(1000, 1020)]
    assert found([SERVICE, *winds]).evidence == "no stop"


def test_first_runs_after_a_long_rest_raise_nothing_by_themselves() -> None:
    before = life(*[0.0] * 12)
    rested = [*run(500, 30), *run(600, 30.5), *run(700, 29.8), *run(800, 30.2)]
    each = found([SERVICE, *before, *rested])
    assert each.falls.once >= RAISE
    assert each.grounds.keep < RAISE
    soon_after = [entry for day in (801.9, 803.5, 805.2) for entry in run(day, 30.0)]
    assert found([SERVICE, *before, *rested, *soon_after]).grounds.keep >= RAISE


def test_a_step_is_never_likelier_than_the_milder_one() -> None:
    for lost in (STEADY, FALLING, DROPPED):
        grounds = found([SERVICE, *life(*lost)], interval=1.0).grounds
        assert grounds.advised <= grounds.keep


@pytest.mark.parametrize(("step", "told"), [("keep an eye", "fallen"), ("service advised", "fallen far")])
def test_the_stronger_reason_is_told(step: Step, told: str) -> None:
    assert reason(found([SERVICE, *life(*DROPPED)], interval=1.0, least_h=20.0), step) == told


def test_signs_come_back_from_json_as_they_were() -> None:
    kept = Signs((Undecided(0.4),), Falls(0.5, 0.1, 0.0))
    assert Signs.from_dict(json.loads(json.dumps(kept.to_dict()))) == kept
    assert Signs.from_dict(json.loads(json.dumps(Signs().to_dict()))) == Signs()
