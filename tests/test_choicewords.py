from dataclasses import replace
from datetime import timedelta

import pytest

from tests.web.rounds import HOUR, LONDON, NOW, figures, wound
from tracker import choicewords
from tracker.commands.settings import Settings
from tracker.core.rounds.plan import Plan, Round
from tracker.planning import planned

THREE = Plan(rounds=tuple(Round(NOW + day * 24 * HOUR, ("a",)) for day in range(3)), windings=3, least_margin=None)


@pytest.mark.parametrize(
    ("left", "short", "long"),
    [
        (3 * HOUR, "3 h", "3 h before it must be wound"),
        (-2 * HOUR, "2 h late", "2 h too late: it may have stopped by then"),
        (timedelta(minutes=20), "20 min", "20 min before it must be wound"),
        (None, "stopped", "it has stopped, so no round is too late"),
    ],
)
def test_a_margin_is_said_in_short_and_in_a_sentence(left: timedelta | None, short: str, long: str) -> None:
    assert (choicewords.margin(left), choicewords.before(left)) == (short, long)


@pytest.mark.parametrize(
    ("fewer", "said"),
    [
        (THREE, ""),
        (replace(THREE, rounds=THREE.rounds[:2]), "What you chose costs one round more."),
        (replace(THREE, rounds=()), "What you chose costs three rounds more."),
        (replace(THREE, windings=2), "What you chose costs one winding more."),
        (replace(THREE, windings=0), "What you chose costs three windings more."),
        (replace(THREE, windings=4), ""),
    ],
)
def test_what_choices_cost_is_told_by_rounds_first(fewer: Plan, said: str) -> None:
    assert choicewords.costs(THREE, fewer) == said


def test_a_round_that_is_held_is_said_to_be_now() -> None:
    assert choicewords.when(NOW, NOW, LONDON) == "now"
    assert choicewords.when(NOW + HOUR, NOW, LONDON) == "today 08:25"


def test_margins_are_told_up_to_the_wind_by_itself_without_the_slack() -> None:
    each = figures("a", wound(3.0))
    found = planned([each], Settings(zone="Europe/London", slack_min=60), NOW)
    first = found.plan.rounds[0].at
    assert each.standing.wind_by is not None
    assert choicewords.at(found, "a", first) == each.standing.wind_by - first
    assert found.margins("a")[first] == each.standing.wind_by - first
    assert found.plan.least_margin is not None
    assert found.least_margin == found.plan.least_margin + HOUR
    assert found.least_margin == min(margin for margin in found.margins("a").values() if margin is not None)
