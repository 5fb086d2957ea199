from dataclasses import replace
from datetime import time, timedelta

import pytest

from tests.web.rounds import HOUR, NOW, figures, of_watch, seen, wound
from tracker.commands.settings import Settings
from tracker.core.offer import Offer
from tracker.core.timeline import Sighting, Wear
from tracker.core.watch import Watch
from tracker.planning import Planned, planned

SETTINGS = Settings(zone="Europe/London")
STOPPED = Sighting(uid="x", at=NOW - HOUR, zone="UTC", seen="stopped")


def watch(**more: object) -> Watch:
    return Watch(uid="w", nickname="w", **({"habit": "keep going"} | more))  # type: ignore[arg-type]  # given by name


def named(found: Planned) -> list[tuple[str, ...]]:
    return [each.wind for each in found.plan.rounds]


def test_the_owners_rounds_are_those_of_weekdays_and_weekends() -> None:
    found = planned([], SETTINGS, NOW, days=5)  # from a Wednesday on
    assert [moment.strftime("%a %H:%M") for moment in found.rounds] == [
        "Wed 07:30", "Thu 07:30", "Fri 07:30", "Sat 09:00", "Sun 09:00",
    ]  # fmt: skip


def test_a_watch_is_wound_before_its_wind_by_less_the_slack() -> None:
    each = figures("a", wound(3.0))
    found = planned([each], SETTINGS, NOW)
    first = next(round_ for round_ in found.plan.rounds)
    assert each.standing.wind_by is not None
    assert first.at <= each.standing.wind_by - timedelta(minutes=30)
    assert found.plan.late == ()


@pytest.mark.parametrize(
    "left_out",
    [
        watch(habit="when worn"),
        watch(habit="at rest"),
        watch(reach="out of reach"),
        watch(job_number="W-1"),
        watch(archived_at=NOW),
    ],
)
def test_who_goes_by_no_round_is_in_no_plan(left_out: Watch) -> None:
    found = planned([of_watch(left_out, wound(3.0))], SETTINGS, NOW)
    assert (found.plan.rounds, found.to_look_at, found.left_to_run) == ((), (), ())


def test_nor_is_an_automatic_that_is_worn() -> None:
    worn = of_watch(
        watch(wound_by="crown and rotor"), wound(3.0), Wear(uid="on", at=NOW - HOUR, zone="UTC", act="put on")
    )
    assert planned([worn], SETTINGS, NOW).plan.rounds == ()


def test_a_watch_without_a_full_wind_is_to_be_looked_at() -> None:
    assert planned([figures("a", seen(3.0))], SETTINGS, NOW).to_look_at == ("a",)


def test_a_watch_that_has_stopped_is_wound_in_the_next_round() -> None:
    found = planned([figures("a", wound(60.0), STOPPED)], SETTINGS, NOW)
    assert named(found)[0] == ("a",)
    assert found.plan.rounds[0].at == found.rounds[0]
    assert found.plan.late == ()


def test_one_left_to_run_for_a_look_is_left_out() -> None:
    each = replace(figures("a", wound(3.0)), offer=Offer(NOW + HOUR, 40.0, 0.5, hands=False))
    found = planned([each], SETTINGS, NOW)
    assert (found.left_to_run, found.plan.rounds) == (("a",), ())


def test_where_no_round_can_keep_it_the_one_that_would_is_named() -> None:
    short = figures("a", wound(1.0), median_h=20.0)
    found = planned([short], SETTINGS, NOW)
    assert found.plan.cannot == ("a",)
    assert isinstance(found.helped_by["a"], time)


def test_it_is_wound_first_in_the_round_chosen_for_it() -> None:
    each = figures("a", wound(3.0), median_h=120.0)
    third = planned([each], SETTINGS, NOW).rounds[2]
    found = planned([replace(each, chosen_round=third)], SETTINGS, NOW)
    assert (found.plan.rounds[0].at, named(found)[0]) == (third, ("a",))


def test_a_round_of_the_last_two_hours_is_held_now() -> None:
    short = figures("a", wound(38.0))
    for past_min, held in ((119, True), (121, False)):
        now = NOW.replace(hour=7, minute=30) + timedelta(minutes=past_min)
        assert (planned([short], SETTINGS, now, sitting=True).rounds[0] == now) is held
        assert planned([short], SETTINGS, now).rounds[0] > now


def test_what_was_chosen_for_it_holds_until_it_is_over() -> None:
    round_at = NOW.replace(minute=30)
    each = replace(figures("a", wound(3.0), median_h=120.0), chosen_round=round_at)
    for past_min, held in ((30, True), (121, False)):
        now = round_at + timedelta(minutes=past_min)
        found = planned([each], SETTINGS, now, sitting=True)
        assert (found.chosen == {"a": now}) is held
        assert (found.plan.rounds[0].at == now) is held


@pytest.mark.parametrize(("wound_ago_h", "stays"), [(0.25, True), (3.0, False)])
def test_in_a_round_in_which_one_was_wound_the_others_stay(wound_ago_h: float, stays: bool) -> None:  # noqa: FBT001 -- a case
    """The other may wait, and does unless this round is open anyway."""
    done, other = figures("done", wound(wound_ago_h), median_h=90.0), figures("other", wound(26.0), median_h=56.0)
    found = planned([done, other], SETTINGS, NOW, sitting=True)
    assert (found.plan.rounds[0].at == found.rounds[0]) is stays


def test_without_rounds_everything_is_late() -> None:
    none = Settings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=())
    found = planned([figures("a", wound(3.0))], none, NOW)
    assert found.rounds == ()
    assert [late.name for late in found.plan.late] == ["a"]
