"""When the owner goes round: the moments of the rules kept in the settings, closed while away."""

from collections.abc import Iterable, Sequence
from datetime import datetime, time
from zoneinfo import ZoneInfo

from tracker.commands.settings import Settings
from tracker.core.roundtimes import BEFORE_LEAVING, DAY, Away, RoundTime, moments

WEEKDAYS, WEEKEND = frozenset(range(5)), frozenset({5, 6})


def round_times(settings: Settings) -> list[RoundTime]:
    """The owner's rules."""
    times = [(WEEKDAYS, settings.rounds_on_weekdays), (WEEKEND, settings.rounds_at_weekends)]
    return [RoundTime(days, time.fromisoformat(at)) for days, each in times for at in each]


def open_rounds(settings: Settings, first: datetime, last: datetime, away: Sequence[Away] = ()) -> list[datetime]:
    """The rounds from `first` to `last`, both included, in UTC and in order.

    None while the owner is away, but one at each return; and one shortly before leaving, where no other is left in the day
    before.
    """
    own = _own(settings, first, last, away)
    added = [at for each in away for at in _around(each, settings, away) if first <= at <= last]
    return sorted({*own, *added})


def _own(settings: Settings, first: datetime, last: datetime, away: Sequence[Away]) -> list[datetime]:
    found = moments(round_times(settings), first, last, ZoneInfo(settings.zone))
    return [at for at in found if not any(each.holds(at) for each in away)]


def _around(absence: Away, settings: Settings, away: Sequence[Away]) -> Iterable[datetime]:
    before = absence.leave - BEFORE_LEAVING
    others = [each for each in away if each != absence]
    if not _own(settings, absence.leave - DAY, absence.leave, away) and not any(
        each.holds(before) or each.back == absence.leave for each in others
    ):
        yield before
    if not any(each.holds(absence.back) for each in others):
        yield absence.back
