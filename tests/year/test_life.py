"""A few weeks of the simulated year: its world is fair to every policy, its counts are what they say."""

import math
from datetime import datetime, timedelta

import pytest

from tests.year.household import HOUR, HOUSEHOLDS, household
from tests.year.life import BEGINS, Life, Tally, _called, _round, lived, warmed
from tests.year.policies import ALONE, KNOWING, MORNING, PLAN, POLICIES, STATED, Moment, true_wind_by_h

SHORT, LONG = HOUSEHOLDS
WEEKS = 2
DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def tallies() -> dict[str, Tally]:
    watches = warmed(1, LONG)
    return {policy: lived(1, watches, policy, WEEKS) for policy in POLICIES}


def test_the_plan_calls_less_often_than_each_watch_alone(tallies: dict[str, Tally]) -> None:
    plan, alone, morning = tallies[PLAN], tallies[ALONE], tallies[MORNING]
    assert 0 < plan.rounds < alone.rounds
    assert plan.windings < morning.windings


def test_every_morning_is_a_round_and_a_winding_of_each_that_should_go(tallies: dict[str, Tally]) -> None:
    forgotten = 7 * WEEKS - tallies[MORNING].rounds
    assert tallies[MORNING].windings == 12 * tallies[MORNING].rounds
    assert 0 <= forgotten <= 2
    assert tallies[MORNING].digests == 7 * WEEKS


def test_what_is_unneeded_is_part_of_what_was_told(tallies: dict[str, Tally]) -> None:
    for tally in tallies.values():
        assert tally.needless_digests <= tally.digests
        assert tally.needless_calls <= tally.calls
        assert tally.odd + tally.forgot <= tally.stops <= tally.windings
    assert tallies[PLAN].digests <= 7 * WEEKS
    assert tallies[MORNING].needless_digests > tallies[PLAN].needless_digests


def test_a_policy_leaves_the_watches_as_they_were() -> None:
    watches = warmed(2, SHORT)
    before = [(each.ends_at, len(each.entries)) for each in watches]
    assert lived(2, watches, STATED, 4) == lived(2, watches, STATED, 4)
    assert [(each.ends_at, len(each.entries)) for each in watches] == before


def test_the_length_of_a_run_hangs_on_its_number_alone() -> None:
    [one, *_], [other, *_] = household(3, HOUSEHOLDS[SHORT]), household(3, HOUSEHOLDS[SHORT])
    for days in (1, 2, 5):
        one.wind(BEGINS + days * DAY)
        other.wind(BEGINS + days * DAY)
        assert one.ends_at == other.ends_at
        assert one.ends_at > BEGINS + days * DAY


def test_true_wind_bys_are_missed_as_often_as_is_accepted() -> None:
    tally = lived(4, warmed(4, LONG), KNOWING, 13)
    assert tally.accepted > 20.0
    assert abs(tally.early - tally.accepted) < 4.0 * math.sqrt(tally.accepted)


def test_a_true_wind_by_is_where_the_accepted_share_has_stopped() -> None:
    for each in household(5, HOUSEHOLDS[SHORT]):
        each.wind(BEGINS)
        hours, p = true_wind_by_h(each)
        [share] = each.truth.stops_before([hours], (BEGINS - each.entries[0].at) / timedelta(days=365.25))
        assert share == pytest.approx(p, rel=0.02)


def _life(owner: int, ends_h: float) -> tuple[Life, Moment]:
    """One watch that stops so many hours after a round, and that round."""
    [each, *_] = household(owner, HOUSEHOLDS[LONG])
    each.wind(BEGINS)
    each.ends_at = BEGINS + ends_h * HOUR
    rounds = tuple(BEGINS + days * DAY for days in range(3))
    return Life(owner, STATED, [each]), Moment(BEGINS, rounds)


@pytest.mark.parametrize(("ends_h", "unneeded"), [(20.0, 0), (30.0, 1)])
def test_a_message_is_unneeded_if_the_next_round_would_have_done(ends_h: float, unneeded: int) -> None:
    life, moment = _life(1, ends_h)
    _called(life, life.watches[0].name, moment, BEGINS + 3 * HOUR)
    assert (life.tally.calls, life.tally.needless_calls) == (1, unneeded)
    life, moment = _life(1, ends_h)
    _round(life, life.watches, moment, BEGINS)
    assert (life.tally.digests, life.tally.needless_digests) == (1, unneeded)


def test_nobody_winds_for_a_call_in_the_night() -> None:
    life, moment = _life(1, 20.0)
    for minute in range(50):
        _called(life, life.watches[0].name, moment, _night(minute))
    assert life.tally.windings == 0
    assert life.tally.calls == 50


def _night(minute: int) -> datetime:
    return BEGINS + 2 * HOUR + timedelta(minutes=minute)
