"""What it means to wind a watch in one round rather than another, in sentences."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.rounds.plan import Plan
from tracker.planning import Planned
from tracker.words import say

HOUR = timedelta(hours=1)


def margin(left: timedelta | None) -> str:
    """How long before its wind-by a watch is wound, in a word or two."""
    if left is None:
        return say("stopped")
    return say("{length} late", length=length(-left)) if left < timedelta(0) else length(left)


def before(left: timedelta | None) -> str:
    """The same as the end of a sentence."""
    if left is None:
        return say("it has stopped, so no round is too late")
    if left < timedelta(0):
        return say("{length} too late: it may have stopped by then", length=length(-left))
    return say("{length} before it must be wound", length=length(left))


def length(left: timedelta) -> str:
    """A margin as it is said everywhere."""
    return phrases.length(left / HOUR, known_to_h=1.0)


def at(found: Planned, uid: str, moment: datetime) -> timedelta | None:
    """The margin of a first winding at a moment."""
    by = found.deadline(uid)
    return None if by is None else by - moment


def first(found: Planned, uid: str, moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """When and with what margin a watch is wound next, in this round."""
    return say("{when}, {before}", when=when(moment, now, zone), before=before(at(found, uid, moment)))


def when(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """A round by day and clock; now, where it is held now."""
    return say("now") if moment <= now else phrases.when(moment, now, zone)


def costs(plan: Plan, without: Plan) -> str:
    """What the rounds people chose cost; nothing where they cost nothing."""
    rounds, windings = len(plan.rounds) - len(without.rounds), plan.windings - without.windings
    if rounds > 0:
        what = say("one round") if rounds == 1 else say("{n} rounds", n=phrases.number(rounds))
    elif windings > 0 and rounds == 0:
        what = say("one winding") if windings == 1 else say("{n} windings", n=phrases.number(windings))
    else:
        return ""
    return say("What you chose costs {what} more.", what=what)


def change(found: Planned, former: Planned) -> str:
    """How many rounds a plan has beside the one before, where that changed, and its least margin."""
    opened, before_that = len(found.plan.rounds), len(former.plan.rounds)
    said = [say("The plan has {n} rounds now, {m} before.", n=opened, m=before_that)] if opened != before_that else []
    return " ".join(part for part in (*said, closest(found)) if part)


def closest(found: Planned) -> str:
    """The least margin of a plan as a sentence; nothing where no winding has a wind-by to keep."""
    if found.least_margin is None:
        return ""
    least = length(found.least_margin)
    if found.plan.late:
        return say("Of those in time, the closest comes {length} before it must.", length=least)
    return say("The closest comes {length} before it must.", length=least)
