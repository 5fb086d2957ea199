"""A watch moved to another round of the plan, or left to the plan again: whether it can be, and what becomes of it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tracker import choicewords
from tracker.commands.choice import ChooseRound, LetPlanDecide
from tracker.commands.settings import Settings
from tracker.core.roundtimes import Away
from tracker.errors import BadInput, NotFound
from tracker.figures import Figures
from tracker.planning import Planned, planned
from tracker.words import say

NAMED = 3
"""So many rounds are named to who named none."""


def moved(
    command: ChooseRound | LetPlanDecide,
    figures: Sequence[Figures],
    settings: Settings,
    now: datetime,
    away: Sequence[Away] = (),
) -> str:
    """What this command does to the plan, in words.

    Raises:
        NotFound: no round is planned for this watch.
        BadInput: the moment is none of the rounds to come.
    """
    uid, at = command.watch_uid, command.at if isinstance(command, ChooseRound) else None
    former, zone = planned(figures, settings, now, sitting=True, away=away), ZoneInfo(settings.zone)
    refuse_unplanned(former, uid)
    if at is not None:
        _refuse_unless_round(at, [each for each in former.rounds if each > now], zone)
    asked = [replace(each, chosen_round=at) if each.watch.uid == uid else each for each in figures]
    found = planned(asked, settings, now, sitting=True, away=away)
    nickname = next(each.watch.nickname for each in figures if each.watch.uid == uid)
    if at is None:
        said = say("The plan decides again when {nickname} is wound.", nickname=nickname)
    else:
        told = choicewords.first(found, uid, at, now, zone)
        said = say("{nickname} is now planned for {told}.", nickname=nickname, told=told)
    return f"{said} {choicewords.change(found, former)}".rstrip()


def unmoved(
    found: Planned, figures: Sequence[Figures], settings: Settings, now: datetime, away: Sequence[Away] = ()
) -> Planned | None:
    """The plan if nobody had chosen a round; None where nobody did."""
    if not found.chosen:
        return None
    free, days = [replace(each, chosen_round=None) for each in figures], (found.end - now) / timedelta(days=1)
    return planned(free, settings, now, days, sitting=True, away=away)


def refuse_unplanned(found: Planned, uid: str) -> None:
    """Raise it where a watch has no part in this plan.

    Raises:
        NotFound: no round is planned for it.
    """
    if uid not in found.members or uid in found.plan.cannot:
        raise NotFound(say("No round is planned for this watch; look at the coming fortnight on the Round page."))


def _refuse_unless_round(at: datetime, to_come: Sequence[datetime], zone: ZoneInfo) -> None:
    if at not in to_come:
        times = [f"{each.astimezone(zone):%Y-%m-%dT%H:%M}" for each in to_come[:NAMED]]
        raise BadInput(
            say("This is none of your rounds to come."),
            field="at",
            accepted=say("The next are {times}.", times=", ".join(times))
            if times
            else say("Give your rounds on the Settings page first."),
        )
