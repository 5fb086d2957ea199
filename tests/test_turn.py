from dataclasses import replace

from tests.web.rounds import HOUR, NOW, figures, wound
from tracker.commands.settings import Settings
from tracker.figures import Figures
from tracker.planning import planned
from tracker.turn import Turn, turn

SETTINGS = Settings(zone="Europe/London")
"""Rounds at 07:30, five minutes from now."""
NO_ROUNDS = Settings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=())


def of(*watches: Figures, settings: Settings = SETTINGS) -> Turn | None:
    found = planned(watches, settings, NOW, sitting=True)
    return turn(found, {each.watch.uid: each.standing.wind_by for each in watches})


def test_it_is_the_turn_of_those_whom_the_plan_puts_into_the_next_round() -> None:
    found = of(figures("Soon", wound(30.0)), figures("Later", wound(1.0)))
    assert found is not None
    assert (found.at, found.wanted) == (NOW + HOUR / 12, frozenset({"Soon"}))
    assert found.planned == {"Soon", "Later"}
    assert found.later == NOW + 24 * HOUR + HOUR / 12


def test_a_watch_moved_to_a_later_round_waits_unless_it_will_not_last() -> None:
    lasts, stops = figures("Lasts", wound(30.0), median_h=120.0), figures("Stops", wound(36.0))
    third = planned([lasts], SETTINGS, NOW).rounds[2]
    found = of(replace(lasts, chosen_round=third))
    assert found is not None
    assert (found.wanted, found.later) == (frozenset(), third)
    gone = of(replace(stops, chosen_round=third, standing=replace(stops.standing, wind_by=NOW)))
    assert gone is not None
    assert gone.wanted == {"Stops"}


def test_whom_no_round_keeps_is_not_planned() -> None:
    found = of(figures("Egg timer", wound(1.0), median_h=20.0))
    assert found is not None
    assert (found.wanted, found.planned) == (frozenset(), frozenset())


def test_without_rounds_it_is_nobodys_turn() -> None:
    assert of(figures("Soon", wound(30.0)), settings=NO_ROUNDS) is None
