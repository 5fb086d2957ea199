"""What a last call goes by: the last round before a wind-by, and whether its digest will name the watch."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from tracker.commands.settings import Settings
from tracker.core.rounds.household import DAYS, HALF_A_DAY
from tracker.core.rounds.problem import Kept, out_of_reach
from tracker.core.roundtimes import Away
from tracker.figures import Figures
from tracker.openrounds import open_rounds
from tracker.planning import DAYS as DAYS_AHEAD
from tracker.planning import goes_by_rounds, in_reach, member


class Chance(NamedTuple):
    """The last of the owner's rounds between the winding and the wind-by, if any; whether it will name the watch."""

    last_round: datetime | None = None
    in_digest: bool = False


def last_chance(each: Figures, settings: Settings, away: Sequence[Away] = ()) -> Chance:
    """The last round before the wind-by. If the watch is not wound until then, the plan winds it there at the latest.

    Where the plan does not, a round in the first half of the time is none: to wind it again so soon would gain little.
    """
    by, run = each.standing.wind_by, each.history.current
    if by is None or run is None:
        return Chance()
    between = [at for at in open_rounds(settings, run.started_at, by, away) if run.started_at < at < by]
    if not between:
        return Chance()
    last, half = between[-1], run.started_at + (by - run.started_at) / 2
    named = _named(each, last, settings, away)
    return Chance(last, named) if named or last >= half else Chance()


def _named(each: Figures, at: datetime, settings: Settings, away: Sequence[Away]) -> bool:
    asked, run = member(each, at), each.history.current
    if asked is None or run is None or asked.habit == "on weekdays" or not goes_by_rounds(each):
        return False
    if each.offer is not None or (asked.chosen is not None and asked.chosen > at):
        return False
    ahead = open_rounds(settings, run.started_at, run.started_at + timedelta(days=DAYS_AHEAD), away)
    return not out_of_reach(Kept(asked.name, asked.wind_by, asked.lasts_h), ahead)


def wants_last_call(each: Figures, settings: Settings, away: Sequence[Away] = ()) -> bool:
    """Whether the watch is called for: one that is kept going, or one of fixed days whose wind-by comes before its day."""
    by, run = each.standing.wind_by, each.history.current
    if by is None or run is None or each.test is not None:
        return False
    if each.watch.habit != "on weekdays" or not in_reach(each.watch):
        return each.watch.kept
    zone = ZoneInfo(settings.zone)
    before = open_rounds(settings, run.started_at + HALF_A_DAY, by, away)
    return all(DAYS[at.astimezone(zone).weekday()] not in each.watch.habit_weekdays for at in before)


def named_at_return(each: Figures, moment: datetime, away: Sequence[Away]) -> bool:
    """Whether what comes to pass at a moment is told at the owner's return: the digest of that round names the watch."""
    return goes_by_rounds(each) and any(absence.holds(moment) for absence in away)
