"""The life of one watch: what its keeper goes to do meets what the spring and the hands do, and some of it is noted."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from tracker.commands.base import EntryCommand
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.core.timeline import Amount, Hands
from tracker.example.days import Days, dice
from tracker.example.dial import Dial, as_read
from tracker.example.late import noted_as
from tracker.example.role import Act, Intent, Role
from tracker.example.truth import median_h
from tracker.uids import uid_of

Noted = TypeVar("Noted", bound=EntryCommand)

FAR = datetime.max.replace(tzinfo=UTC)
MINUTE = timedelta(minutes=1)
BADLY_OFF = timedelta(minutes=15)
A_LITTLE_OFF = timedelta(minutes=3)
WOUND_BY_WEAR_H = 10.0
WOUND_BY_WINDER_H = 24.0
TOLD_OF_SERVICE = ("occasion", "work_done", "parts", "lubricants", "cost")


@dataclass(frozen=True, slots=True)
class Lived:
    """What was noted of a watch, oldest first, and what was true.

    `runs_h` is how many hours each noted full wind lasts if left alone, by its uid; `unnoted` how many windings were
    never noted; `stops_at` when it stops, None while it is worn or on a winder and winds itself. `spells` are the times in which it went.
    """

    entries: Sequence[EntryCommand]
    runs_h: Mapping[str, float]
    unnoted: int
    stops_at: datetime | None
    spells: Sequence[tuple[datetime, datetime]]


def lived(role: Role, watch_uid: str, intents: Sequence[Intent], days: Days) -> Lived:
    """Live through these intents, oldest first."""
    life = _Life(role, watch_uid, days)
    ends = [*(intent.at for intent in intents[1:]), days.now + timedelta(seconds=1)]
    for intent, before in zip(intents, ends, strict=True):
        life.live(intent, before)
    return Lived(life.entries, life.runs_h, life.unnoted, None if life.stops_at == FAR else life.stops_at, life.spells)


class _Life:
    def __init__(self, role: Role, watch_uid: str, days: Days) -> None:
        self.role, self.watch_uid, self.days = role, watch_uid, days
        self.fields, self.keeper = role.fields, role.keeper
        self.by_rotor = role.fields.wound_by in {"crown and rotor", "rotor only"}
        self.throws = dice("life", role.fields.nickname)
        self.entries: list[EntryCommand] = []
        self.runs_h: dict[str, float] = {}
        self.unnoted = 0
        start = datetime.min.replace(tzinfo=UTC)
        self.spells: list[tuple[datetime, datetime]] = []
        self._stops_at, self.known_stopped = start, False
        self.worn_since: datetime | None = None
        self.on_winder_since: datetime | None = None
        self.left_h = 0.0
        self.dial = Dial(since=start, shows=datetime(2000, 1, 1), rate_s_per_day=role.spring.rate_s_per_day)  # noqa: DTZ001 -- hands know no zone
        self.intent, self.before = Intent(at=start, act="look"), start

    @property
    def stops_at(self) -> datetime:
        """When it stops, or stopped."""
        return self._stops_at

    @stops_at.setter
    def stops_at(self, at: datetime) -> None:
        if self.intent.at < self._stops_at and self.spells:
            self.spells[-1] = (self.spells[-1][0], at)
        elif at > self.intent.at:
            self.spells.append((self.intent.at, at))
        self._stops_at = at

    def live(self, intent: Intent, before: datetime) -> None:
        """One intent; the next one comes at `before`."""
        self.intent, self.before = intent, before
        acts: dict[Act, Callable[[], None]] = {
            "wind": lambda: self._wind("full"),
            "part wind": lambda: self._wind("part"),
            "unsure wind": lambda: self._wind("unsure"),
            "wind on the wrist": self._wind_on_the_wrist,
            "look": self._look,
            "put on": self._put_on,
            "lay down": self._lay_down,
            "hand in": self._hand_in,
            "service": self._service,
        }
        acts[intent.act]()

    def _chance(self, of: float) -> bool:
        return not self.intent.sure and self.throws.random() < of

    def _going(self) -> bool:
        return self.intent.at < self.stops_at

    def _note(self, kind: type[Noted], *, after_min: int = 0, may_be_late: bool = False, **fields: Any) -> Noted:
        at, within_min = self.intent.at + after_min * MINUTE, 0.0
        if may_be_late and self._chance(self.keeper.late):
            floor = self.entries[-1].at if self.entries else at - timedelta(days=1)
            at, within_min = noted_as(at, self.days, floor, self.before)
        note = kind(
            uid=uid_of("example", self.days.now.isoformat(), self.fields.nickname, str(len(self.entries))),
            watch_uid=self.watch_uid,
            at=at,
            zone=self.days.zone.key,
            within_min=within_min,
            **fields,
        )
        self.entries.append(note)
        return note

    # The spring.

    def _full_run_h(self) -> float:
        median = median_h(self.role.spring, self.intent.at, self.days.now)
        short = self.throws.uniform(0.75, 0.92) if self._chance(0.01) else 1.0  # not quite to resistance
        return median * math.exp(self.throws.gauss(0, self.role.spring.scatter)) * short

    def _tension(self, share: float) -> float:
        """Wind by this share of a full wind; the hours it now lasts."""
        full_h = self._full_run_h()
        left_h = max(self.stops_at - self.intent.at, timedelta(0)) / timedelta(hours=1) if self._going() else 0.0
        lasts_h = min(full_h, left_h + share * full_h)
        self.stops_at = self.intent.at + timedelta(hours=lasts_h)
        return lasts_h

    # The hands.

    def _shown(self) -> dict[str, Any]:
        """The hands of a stopped watch, as read before it is touched."""
        hands = self.dial.at(self.intent.at, self.stops_at)
        date = self.dial.day(self.intent.at, self.stops_at) if self.fields.date_window else None
        shown = as_read(hands, self.throws.choice((-1, 0, 0, 0, 1)))
        return {"shown": shown} if date is None else {"shown": shown, "shown_date": date}

    def _set_hands(self, *, date: bool) -> None:
        wall = self.days.wall(self.intent.at)
        dated_on = wall if date else self.dial.dated_on if self._going() else None
        shows = wall + max(-2.0, min(2.0, self.throws.gauss(0, 0.8))) * MINUTE
        self.dial = replace(self.dial, since=self.intent.at, shows=shows, dated_on=dated_on)

    def _hands_of_going(self) -> Hands:
        off = abs(self.dial.at(self.intent.at, self.stops_at) - self.days.wall(self.intent.at))
        if (off > BADLY_OFF and self.throws.random() < 0.8) or (off > A_LITTLE_OFF and self.throws.random() < 0.3):  # noqa: PLR2004 -- chances
            self._set_hands(date=False)
            return "set now"
        return "unknown" if self._chance(0.03) else "left"

    def _hands_of_stopped(self) -> dict[str, Any]:
        if self._chance(0.06):
            stood = self.dial.at(self.intent.at, self.stops_at)
            self.dial = replace(self.dial, since=self.intent.at, shows=stood, dated_on=None)
            return {"hands": "not set"}
        self._set_hands(date=self.fields.date_window)
        return {"hands": "set now", "date_set": self.fields.date_window}

    # The acts.

    def _wind(self, amount: Amount, *, exact: bool = False) -> None:
        going, noticed = self._going(), not self._chance(1 - self.keeper.notices)
        reads = not going and noticed and not self._chance(1 - self.keeper.reads)
        shown = self._shown() if reads else {}
        hands = {"hands": self._hands_of_going()} if going else self._hands_of_stopped()
        found = ("going" if going else "stopped") if noticed else "not noticed"
        turns, share = self._amount(amount)
        lasts_h = self._tension(share)
        self.known_stopped = False
        if self._chance(self.keeper.unnoted):
            self.unnoted += 1
            return
        words = {"amount": amount, "found": found, **turns, **(hands if noticed else {}), **shown}
        note = self._note(LogWind, may_be_late=not exact, **words)
        if amount == "full":
            self.runs_h[note.uid] = lasts_h

    def _amount(self, amount: Amount) -> tuple[dict[str, float], float]:
        """Crown turns, where anybody counts them, and the share of a full wind."""
        to_full = self.fields.crown_turns_to_full
        if amount == "part":
            turns = self.throws.randint(6, 12)
            return {"crown_turns": turns}, turns / (to_full or 30)
        if amount == "unsure":
            return {}, self.throws.uniform(0.5, 0.95)
        return ({"crown_turns": to_full} if to_full and self.by_rotor else {}), 1.0

    def _wind_on_the_wrist(self) -> None:
        self._wind("full", exact=True)
        self._wear_on(after_min=self.throws.randint(2, 8))

    def _wear_on(self, after_min: int) -> None:
        self._note(LogWear, after_min=after_min, act="put on").standing()  # others of the station wear the others
        self.worn_since = self.intent.at
        if self.by_rotor:
            self._wind_itself()

    def _wind_itself(self) -> None:
        """Its rotor winds it from here on."""
        self.left_h = max(self.stops_at - self.intent.at, timedelta(0)) / timedelta(hours=1)
        self.stops_at = FAR

    def _wound_itself(self, since: datetime, to_full_h: float) -> None:
        """Its rotor has wound it since a moment; left alone for so many hours it winds it fully."""
        full_h = self._full_run_h()
        lasts_h = min(full_h, self.left_h + full_h * ((self.intent.at - since) / timedelta(hours=1)) / to_full_h)
        self.stops_at = self.intent.at + timedelta(hours=lasts_h)

    def _put_on_the_winder(self, turns_a_day: float) -> None:
        self._note(LogWinder, after_min=3, act="on", turns_a_day=turns_a_day).standing()
        self.on_winder_since = self.intent.at
        self._wind_itself()

    def _take_off_the_winder(self, since: datetime) -> None:
        self._note(LogWinder, act="off").standing()
        self._wound_itself(since, WOUND_BY_WINDER_H)
        self.on_winder_since = None

    def _put_on(self) -> None:
        if self.on_winder_since is not None:
            self._take_off_the_winder(self.on_winder_since)
            self._wear_on(after_min=self.throws.randint(2, 8))
            return
        after_min = 0 if self._going() else self.throws.randint(2, 8)
        if not self._going() and self.fields.wound_by == "rotor only":
            self._note(LogSighting, seen="stopped", **self._shown())
            self._set_hands(date=self.fields.date_window)
            self.known_stopped, self.stops_at = False, self.intent.at
        elif not self._going():
            self._wind("unsure", exact=True)
        self._wear_on(after_min)

    def _lay_down(self) -> None:
        if self.worn_since is None:
            return
        if self.by_rotor:
            self._wound_itself(self.worn_since, WOUND_BY_WEAR_H)
        elif not self._going():
            self._note(LogSighting, seen="stopped", **self._shown())
            self.known_stopped = True
        self._note(LogWear, after_min=0 if self._going() else 1, act="laid down").standing()
        self.worn_since = None
        if self.role.winder_turns_a_day is not None:
            self._put_on_the_winder(self.role.winder_turns_a_day)

    def _look(self) -> None:
        if self._going():
            self._note(LogSighting, may_be_late=True, **self._seen_going())
        elif self.fields.habit not in {"when worn", "at rest"} and not self.intent.sure:
            self._wind("full")
        elif not self.known_stopped or self.intent.sure:
            shown = {} if self._chance(1 - self.keeper.reads) else self._shown()
            self._note(LogSighting, may_be_late=True, seen="stopped", **shown)
            self.known_stopped = True

    def _seen_going(self) -> dict[str, Any]:
        if self.fields.indicator != "hours" or self.worn_since is not None:
            return {"seen": "going"}
        reading = round((self.stops_at - self.intent.at) / timedelta(hours=6)) * 6.0
        return {"seen": "not noticed" if self._chance(0.3) else "going", "indicator_reading": reading}

    def _hand_in(self) -> None:
        if self._going():
            self._note(LogSighting, seen="stopped on purpose")
        self.stops_at, self.known_stopped, self.worn_since = min(self.intent.at, self.stops_at), True, None
        self.on_winder_since = None

    def _service(self) -> None:
        told = asdict(self.intent.mended) if self.intent.mended else {}
        said = {name: told[name] for name in TOLD_OF_SERVICE if told.get(name)}
        self._note(LogService, **said, done_by="The visiting watchmaker")
        self._set_hands(date=self.fields.date_window)
        self._tension(0.7)
        self.known_stopped = False
