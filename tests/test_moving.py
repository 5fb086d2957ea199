from dataclasses import replace
from datetime import datetime

import pytest

from tests.web.rounds import HOUR, NOW, of_watch, wound
from tracker.commands.choice import ChooseRound, LetPlanDecide
from tracker.commands.settings import Settings
from tracker.core.watch import Watch
from tracker.errors import BadInput, NotFound
from tracker.figures import Figures
from tracker.moving import moved, unmoved
from tracker.planning import planned
from tracker.uids import uid_of

SETTINGS = Settings(zone="Europe/London")


def kept(nickname: str, wound_h: float, median_h: float = 40.0) -> Figures:
    return of_watch(
        Watch(uid=uid_of(nickname), nickname=nickname, habit="keep going"), wound(wound_h), median_h=median_h
    )


NIGHT, DAY = kept("Night ferry", 30.0), kept("Day boat", 5.0, 60.0)


def told(at: datetime, *watches: Figures, settings: Settings = SETTINGS) -> str:
    return moved(ChooseRound(watch_uid=NIGHT.watch.uid, at=at), watches, settings, NOW)


def test_it_says_the_round_and_the_margin_it_has_there() -> None:
    tomorrow = NOW + 24 * HOUR + HOUR / 12
    both = kept("Night ferry", 5.0), DAY
    wind_by = both[0].standing.wind_by
    assert wind_by is not None
    length = round((wind_by - tomorrow) / HOUR)
    assert told(tomorrow, *both).startswith(
        f"Night ferry is now planned for tomorrow 07:30, {length} h before it must be wound."
    )


def test_or_how_much_too_late_that_is() -> None:
    said = told(NOW + 24 * HOUR + HOUR / 12, NIGHT, DAY)
    assert "too late: it may have stopped by then." in said
    assert "Of those in time, the closest comes " in said


def test_what_it_costs_in_rounds_is_said() -> None:
    lasting = kept("Night ferry", 1.0, 200.0), kept("Other", 1.0, 200.0)
    assert "The plan has 2 rounds now, 1 before." in told(NOW + HOUR / 12, *lasting)


def test_left_to_the_plan_it_is_planned_as_if_nothing_had_been_chosen() -> None:
    chosen = replace(DAY, chosen_round=NOW + HOUR / 12)
    said = moved(LetPlanDecide(watch_uid=DAY.watch.uid), [chosen, NIGHT], SETTINGS, NOW)
    assert said.startswith("The plan decides again when Day boat is wound.")


def test_a_moment_that_is_no_round_is_refused_with_those_to_come() -> None:
    with pytest.raises(BadInput) as caught:
        told(NOW + HOUR, NIGHT)
    assert caught.value.sentence == (
        "This is none of your rounds to come. The next are 2026-11-25T07:30, 2026-11-26T07:30, 2026-11-27T07:30."
    )


@pytest.mark.parametrize("nickname", ["nobody", "Egg timer"])
def test_a_watch_without_a_part_in_the_plan_can_not_be_moved(nickname: str) -> None:
    egg = kept("Egg timer", 1.0, 20.0)
    with pytest.raises(NotFound):
        moved(ChooseRound(watch_uid=uid_of(nickname), at=NOW + HOUR / 12), [egg], SETTINGS, NOW)


def test_the_plan_without_what_was_chosen_is_the_plan_before() -> None:
    before = planned([NIGHT, DAY], SETTINGS, NOW, sitting=True)
    assert unmoved(before, [NIGHT, DAY], SETTINGS, NOW) is None
    chosen = [NIGHT, replace(DAY, chosen_round=NOW + HOUR / 12)]
    found = unmoved(planned(chosen, SETTINGS, NOW, sitting=True), chosen, SETTINGS, NOW)
    assert found is not None
    assert found.plan == before.plan
