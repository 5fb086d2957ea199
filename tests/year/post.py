"""What the program would tell the simulated owner: its own functions of digests and last calls, rows kept in lists."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import partial

from tests.year.household import Kept
from tests.year.policies import SETTINGS, ZONE, figures
from tracker.core.habit import OF_LATE, TimeOfDay, Winding, learned
from tracker.core.timeline import Wind
from tracker.derive import _to_keep
from tracker.digests import FORTNIGHT, Span, digests, named
from tracker.figures import Figures
from tracker.openrounds import open_rounds
from tracker.planning import DAYS, goes_by_rounds, planned
from tracker.reminders.plan import at_once, plan
from tracker.reminders.reminder import Reminder, RoundReminder
from tracker.reminders.roundplan import Newest, Wait, Wound, plan_rounds, struck, unwaited

OWNER = "owner"


@dataclass
class Post:
    """The reminders there are, by uid."""

    rounds: dict[str, RoundReminder] = field(default_factory=dict)
    calls: dict[str, Reminder] = field(default_factory=dict)
    waits: list[Wait] = field(default_factory=list)

    def judge(self, watches: Sequence[Kept], now: datetime) -> None:
        """Bring all of them to what is true now."""
        own = [figures(each, now) for each in watches if each.to_go]
        going = {each.watch.uid: each for each in own if goes_by_rounds(each)}
        newest = newest_windings(watches)
        rounds = open_rounds(SETTINGS, now - FORTNIGHT, now + timedelta(days=DAYS) + FORTNIGHT)
        wanted = digests(
            planned(own, SETTINGS, now, sitting=True).plan.rounds,
            going,
            newest,
            {each.at: each for each in map(Span, rounds, rounds[1:], rounds[2:])},
            settings=SETTINGS,
            now=now,
            hush=at_once,
            usual=partial(_usual, {each.name: each for each in watches}, self.waits),
        )
        as_now = {uid: named(each, newest[uid]) for uid, each in going.items()}
        known = [each for each in self.rounds.values() if each.open or each.useful_until > now]
        changed = plan_rounds(OWNER, wanted, known, now, newest=newest, as_now=as_now)
        self.rounds = {each.uid: each for each in [*known, *changed]}
        self._call(own, now)

    def wound(self, watches: Sequence[Kept], now: datetime) -> None:
        """Strike off what was wound, as the change does that notes it."""
        newest = newest_windings(watches)
        self.rounds = {uid: struck(each, now, newest) for uid, each in self.rounds.items()}
        self._call([figures(each, now) for each in watches], now)

    def _call(self, own: Iterable[Figures], now: datetime) -> None:
        asked = [_to_keep(each, SETTINGS, now, ()) for each in own]
        newest = {each.watch_uid: each.wind_uid for each in asked}
        known = [
            each
            for each in self.calls.values()
            if each.subject_uid not in newest or each.open or each.episode == newest[each.subject_uid]
        ]
        changed = plan(asked, [each for each in known if each.subject_uid in newest], SETTINGS.notice_h, now)
        self.calls = {each.uid: each for each in [*known, *changed]}

    def tell(self, until: datetime) -> RoundReminder | Reminder | None:
        """What is told next, if anything is before this moment; from now on it has been told."""
        digest = min((each for each in self.rounds.values() if each.state == "planned"), key=_due, default=None)
        call = min((each for each in self.calls.values() if each.state == "planned"), key=_due, default=None)
        if digest and digest.due_at < until and (call is None or digest.due_at <= call.due_at):
            self.rounds[digest.uid] = replace(digest, state="due")
            self.waits.append(Wait(digest.facts.at, digest.due_at, digest.useful_until))
            return digest
        if call and call.due_at < until:
            self.calls[call.uid] = replace(call, state="due")
            return call
        return None


def _due(each: RoundReminder | Reminder) -> datetime:
    return each.due_at


def newest_windings(watches: Sequence[Kept]) -> Newest:
    """The newest winding of each."""
    return {each.name: Wound(each.entries[-1].uid, each.wound_at) for each in watches}


def _usual(
    by_name: Mapping[str, Kept], waits: Sequence[Wait], asked: Sequence[Figures], at: datetime
) -> TimeOfDay | None:
    late = [wind.at for each in asked for wind in by_name[each.watch.uid].entries[-OF_LATE:] if isinstance(wind, Wind)]
    habit = learned([Winding(unwaited(moment, waits)) for moment in sorted(late)], ZONE)
    return habit.time_of(at.astimezone(ZONE).weekday())
