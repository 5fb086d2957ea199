"""The digests of rounds brought to the plan: judged at the bell, whenever anything was written and now and then."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from functools import partial
from itertools import pairwise
from typing import NamedTuple
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.collection import preferences_of
from tracker.commands.settings import Settings
from tracker.core.habit import OF_LATE, TimeOfDay, Winding, learned
from tracker.core.rounds.plan import Round
from tracker.core.roundtimes import Away
from tracker.figures import Figures, survey
from tracker.openrounds import open_rounds
from tracker.planning import DAYS, EARLY, PRESENT, Planned, goes_by_rounds, planned
from tracker.reminders.outbox import hush_of
from tracker.reminders.plan import Hush
from tracker.reminders.roundbox import episodes, newest_windings, replan_rounds, untold, waits_since
from tracker.reminders.roundfacts import Named
from tracker.reminders.roundplan import Digest, Newest, Wound, episode_of, told_from, unwaited
from tracker.staying import absence
from tracker.store.absences import Absent, absences
from tracker.store.log import windings_of_late
from tracker.store.register import owner_uid
from tracker.store.store import Store

FORTNIGHT = timedelta(days=15)
"""Rules go by days of the week: within so long there are two rounds, or there is none but at a return."""


NEED_NONE = ("leave going", "let stop", "at rest")
"""What the page While away advises for a watch that is not wound before leaving."""

Usual = Callable[[Sequence[Figures], datetime], TimeOfDay | None]
"""When the owner usually winds these watches, on the day of a moment."""


class Span(NamedTuple):
    """A round between the one before it and the one after, or the owner's leaving."""

    before: datetime
    at: datetime
    until: datetime


def judge(store: Store, now: datetime, looked: datetime | None) -> None:
    """Bring the digests to the plan as it is now.

    Args:
        store: the collection.
        now: this moment.
        looked: when this was done before. Of a round that has come since and was never planned, what can't wait for the
            next one is told late: the machine slept, or was off. So is all of it where a round before was not told, and at a
            return that was noted when it came.
    """
    db = store.reading()
    subject, settings = owner_uid(db), preferences_of(db).values
    if subject is None:
        return
    found = survey(store, now, with_runs=False).own
    going = {each.watch.uid: each for each in found.known if goes_by_rounds(each)}
    newest, kept = newest_windings(db, going), absences(db)
    away = [each.away for each in kept]
    spans = _spans(settings, now, away)
    # A round that has come has a digest of its own; of the next one no watch leaves that another is wound early for it.
    sitting = not any(now - PRESENT <= at <= now for at in spans)
    plan = planned(found.known, settings, now, sitting=sitting, away=away)
    come = _unplanned(db, spans, settings, now, looked)
    missed = [] if come is None else [_missed(plan, come, newest)]
    if come is not None and (untold(db, now) or any(each.back == come.at for each in away)):
        missed = [each for each in planned(found.known, settings, come.at, away=away).plan.rounds if each.at == come.at]
    usual = partial(_usual, db, zone=ZoneInfo(settings.zone))
    wanted = digests(
        _without(_left(found.known, settings, now, kept), [*missed, *plan.plan.rounds], spans),
        going,
        newest,
        spans,
        settings=settings,
        now=now,
        hush=hush_of(db, now),
        usual=usual,
    )
    as_now = {uid: named(each, newest.get(uid)) for uid, each in going.items()}
    present = {*going} | {each.watch.uid for each in found.waiting}
    with store.change() as changing:
        replan_rounds(changing, subject, wanted, now, present=present, as_now=as_now)


def digests(
    rounds: Sequence[Round],
    going: Mapping[str, Figures],
    newest: Newest,
    spans: Mapping[datetime, Span],
    *,
    settings: Settings,
    now: datetime,
    hush: Hush,
    usual: Usual,
) -> list[Digest]:
    """These rounds as they are to be told. The owner's habit shifts the next one: of the others it is not asked yet."""
    zone, made = ZoneInfo(settings.zone), list[Digest]()
    for each in rounds:
        span = spans[each.at]
        asked = [going[uid] for uid in each.wind if not _unread(going[uid], newest.get(uid), span)]
        if asked:
            follows = span.at > now and all(digest.at <= now for digest in made)
            habit = usual(asked, span.at) if follows else None
            due = told_from(span.at, habit, _latest(asked, span, settings), zone)
            names = tuple(named(one, newest.get(one.watch.uid)) for one in asked)
            began = max((one.wound_at for one in names if one.wound_at is not None), default=span.before)
            due = hush(due, began, any(one.watch.stake == "calendar" for one in asked))
            made.append(Digest(episode_of(span.at, zone), span.at, span.until, due, names))
    return made


def named(each: Figures, wound: Wound | None) -> Named:
    """A watch as it is called by its nickname in a digest."""
    return Named(
        watch_uid=each.watch.uid,
        nickname=each.watch.nickname,
        at_hand=each.watch.reach == "at hand",
        wound=wound.uid if wound else "",
        wound_at=wound.at if wound else None,
        wind_by=each.standing.wind_by and each.standing.wind_by.replace(microsecond=0),
    )


def _unread(each: Figures, wound: Wound | None, span: Span) -> bool:
    """Whether a watch was wound since the round before, and its figures may not know of it yet."""
    return each.behind and wound is not None and wound.at > span.before


def _spans(settings: Settings, now: datetime, away: Sequence[Away]) -> dict[datetime, Span]:
    first, last = now - FORTNIGHT, now + timedelta(days=DAYS) + FORTNIGHT
    rounds = open_rounds(settings, first, last, away)
    ends = [min([after, *(each.leave for each in away if at < each.leave)]) for at, after in pairwise([*rounds, last])]
    return {each.at: each for each in map(Span, [first, *rounds], rounds, ends)}


def _left(
    known: Sequence[Figures], settings: Settings, now: datetime, kept: Sequence[Absent]
) -> dict[datetime, set[str]]:
    """By the moment of the next leaving, the watches that need no winding before it: they go on, or stop all the same."""
    following = next((each for each in kept if each.away.leave > now), None)
    if following is None:
        return {}
    leave, back = following.away.leave, following.away.back
    told = absence(known, settings, now, leave=leave, back=back, taken=following.taken)
    return {leave: {each.watch.uid for each in told.stays if each.advice in NEED_NONE}}


def _without(left: Mapping[datetime, set[str]], rounds: Sequence[Round], spans: Mapping[datetime, Span]) -> list[Round]:
    """The rounds, without those that are left as they are in the last one before leaving."""
    none = set[str]()
    return [
        Round(each.at, tuple(uid for uid in each.wind if uid not in left.get(spans[each.at].until, none)))
        for each in rounds
    ]


def _unplanned(
    db: Database, spans: Mapping[datetime, Span], settings: Settings, now: datetime, looked: datetime | None
) -> Span | None:
    """The round that has come last and is not over, if nobody has planned it."""
    last = max((at for at in spans if at <= now), default=None)
    if last is None or spans[last].until <= now or (looked is not None and last <= looked):
        return None
    return None if episode_of(last, ZoneInfo(settings.zone)) in episodes(db, now) else spans[last]


def _missed(plan: Planned, span: Span, newest: Newest) -> Round:
    """A round that has come, with those that were not wound in it and whose wind-by comes before the next."""
    wound = {uid for uid, each in newest.items() if each is not None and each.at >= span.at - EARLY}
    names = {late.name for late in plan.plan.late if late.missed < span.until} - wound
    return Round(span.at, tuple(sorted(names)))


def _usual(db: Database, asked: Sequence[Figures], at: datetime, *, zone: ZoneInfo) -> TimeOfDay | None:
    """When these watches are usually wound, on such a day of the week."""
    winds = windings_of_late(db, [each.watch.uid for each in asked], OF_LATE)
    waits = waits_since(db, winds[0].at) if winds else []
    windings = [Winding(unwaited(each.at, waits), each.within_min) for each in winds]
    return learned(windings, zone).time_of(at.astimezone(zone).weekday())


def _latest(asked: Sequence[Figures], span: Span, settings: Settings) -> datetime:
    """Until when a digest may wait for the owner's habit: not into the next round's half, nor past any watch's notice."""
    notice = timedelta(hours=settings.notice_h)
    bys = [by - notice for each in asked if (by := each.standing.wind_by) is not None]
    return min([span.at + (span.until - span.at) / 2, *bys])
