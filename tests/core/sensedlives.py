"""The life of a watch on a rest sensor whose truth is known: what it did, what the sensor sent, what its owner noted.

The owner lets it run down, winds it while it goes, wears it, takes it away for a while or leaves it elsewhere until it
stands; notes most of that, some of it late or not at all. The sensor sends a reading every two minutes, is cut off now and
then, and says *stopped* of an empty seat.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Literal

from sensors.kinds import Boolean
from sensors.rest import Setup, Span, Stop, fold, tail
from tracker.core.heard import Halt, Heard, Spell
from tracker.core.timeline import Entry, Found, Sighting, Wear, WearAct, Wind

START_S = datetime(2026, 3, 2, 8, tzinfo=UTC).timestamp()
EVERY_S = 120.0
SETUP = Setup(Boolean(), expected_s=EVERY_S)
HOUR_S = 3600.0
DAYS = 60

Fate = Literal["stopped", "worn", "put back going", "wound going", "left elsewhere", "silence"]
"""What ended the time in which a run was heard: it stood still there; it was lifted, and then …; or the end came first."""


@dataclass
class Life:
    """`fates` by the uid of the winding, `lasted_h` the true length of each run, as far as it was let run."""

    chance: Random
    reserve_h: float
    now_s: float = START_S
    stops_s: float = START_S
    entries: list[Entry] = field(default_factory=list)
    seated: list[tuple[float, float]] = field(default_factory=list)
    going: list[tuple[float, float]] = field(default_factory=list)
    fates: dict[str, set[Fate]] = field(default_factory=dict)
    lasted_h: dict[str, float] = field(default_factory=dict)
    stood_s: dict[str, float] = field(default_factory=dict)
    run: str = ""
    laid: list[datetime] = field(default_factory=list)

    def wind(self, found: Found, *, noted: bool) -> None:
        """Wound by hand, away from the sensor; a winding not noted begins a run that has no name."""
        if self.going and self.going[-1][1] > self.now_s:
            self.going[-1] = (self.going[-1][0], self.now_s)
        lasts_h = self.reserve_h * self.chance.lognormvariate(0.0, 0.04)
        self.stops_s = self.now_s + lasts_h * HOUR_S
        self.going.append((self.now_s, self.stops_s))
        self.run = self.note(Wind, found=found) if noted else ""
        if noted:
            self.fates[self.run], self.lasted_h[self.run], self.stood_s[self.run] = set(), lasts_h, self.stops_s

    def note(self, kind: type[Entry], **values: object) -> str:
        uid, late_s = f"{len(self.entries):03}", self.chance.choice([0.0, 60.0, 300.0])
        at = datetime.fromtimestamp(self.now_s + late_s, UTC)
        self.entries.append(kind(uid=uid, at=at, zone="UTC", within_min=2.0, **values))
        return uid

    def fate(self, fate: Fate) -> None:
        if self.run:
            self.fates[self.run].add(fate)

    def lie(self, until_s: float) -> None:
        self.seated.append((self.now_s, until_s))
        self.now_s = until_s

    def away(self, minutes: float) -> None:
        self.now_s += minutes * 60.0

    @property
    def goes(self) -> bool:
        return self.now_s < self.stops_s


def live(seed: int, *, notes_all: bool) -> Life:
    """Sixty days or so; with `notes_all` its owner notes every winding, and that it is put on and laid down."""
    chance = Random(seed)
    one = Life(chance, chance.uniform(30, 60))
    one.wind("not noticed", noted=True)
    while one.now_s < START_S + DAYS * 86_400.0:
        act = chance.choice([_runs_down, _runs_down, _wound_going, _worn, _looked_at, _left_elsewhere])
        act(one, notes_all or chance.random() < 0.6)
    return one


def _while_going(one: Life) -> float:
    """A moment at which it still goes, early or late in the run."""
    left_s = max(0.0, one.stops_s - one.now_s)
    return one.now_s + left_s * one.chance.choice([0.1, 0.5, one.chance.uniform(0.8, 0.99)])


def _runs_down(one: Life, noted: bool) -> None:  # noqa: FBT001 -- all acts are called alike
    stopped = one.goes
    one.lie(max(one.now_s, one.stops_s) + one.chance.uniform(1, 50) * HOUR_S)
    if stopped:
        one.fate("stopped")
    one.away(one.chance.uniform(1, 20))
    one.wind("stopped" if noted else "not noticed", noted=True)


def _wound_going(one: Life, noted: bool) -> None:  # noqa: FBT001
    one.lie(_while_going(one))
    one.away(one.chance.uniform(2, 60))
    going = one.goes
    if noted:
        one.fate("wound going" if going else "left elsewhere")
    elif going:
        one.fate("put back going")
    one.wind("going" if going else "stopped", noted=noted)
    one.away(one.chance.uniform(0, 10))


def _worn(one: Life, noted: bool) -> None:  # noqa: FBT001
    """Put on while it goes; back on the sensor going, or wound when it has stopped on the wrist."""
    one.lie(_while_going(one))
    one.away(one.chance.uniform(0, 10))
    act: WearAct = "put on"
    if noted:
        one.fate("worn")
        one.note(Wear, act=act)
    one.away(60 * one.chance.uniform(1, 30))
    if one.goes:
        one.fate("put back going")
        if noted:
            one.note(Wear, act="laid down")
        one.lie(min(one.stops_s, one.now_s + HOUR_S))
        return
    one.fate("left elsewhere")
    one.wind("stopped", noted=True)


def _looked_at(one: Life, noted: bool) -> None:  # noqa: FBT001
    """Taken off for some minutes, and put back without winding."""
    one.lie(_while_going(one))
    one.away(one.chance.uniform(1, 40))
    one.fate("put back going" if one.goes else "left elsewhere")
    if one.goes:
        if noted:
            one.note(Sighting, seen="going")
        one.lie(min(one.stops_s, one.now_s + HOUR_S))


def _left_elsewhere(one: Life, noted: bool) -> None:  # noqa: FBT001, ARG001
    """Lifted while it goes, laid somewhere else, found there and wound when it has stopped."""
    one.lie(_while_going(one))
    one.fate("left elsewhere")
    one.now_s = max(one.now_s, one.stops_s) + one.chance.uniform(1, 30) * HOUR_S
    one.wind("stopped", noted=True)


def sent(one: Life, *, outages: int) -> list[tuple[float, float]]:
    """What the sensor sent: every two minutes or so, some lost, nothing in an outage."""
    chance, end_s = one.chance, one.seated[-1][1]
    cut = [(at, at + chance.uniform(600, 40_000)) for at in (chance.uniform(START_S, end_s) for _ in range(outages))]
    readings, seat, run, at_s = [], 0, 0, START_S
    while at_s < end_s:
        at_s += EVERY_S + chance.uniform(-5, 5)
        while seat < len(one.seated) - 1 and one.seated[seat][1] < at_s:
            seat += 1
        while run < len(one.going) - 1 and one.going[run][1] < at_s:
            run += 1
        if chance.random() < 0.03 or any(low <= at_s <= high for low, high in cut):
            continue
        here = one.seated[seat][0] <= at_s <= one.seated[seat][1]
        readings.append((at_s, float(here and one.going[run][0] <= at_s <= one.going[run][1])))
    return readings


def heard(readings: list[tuple[float, float]]) -> Heard:
    """The spells and stops that the sensing side makes of them."""
    course, found = fold(SETUP, readings)
    last = tail(SETUP, course, readings[-1][0])
    spans = [each for each in (*found, last) if isinstance(each, Span) and each.state == "going"]
    return Heard(
        spells=tuple(Spell(sensor_uid="tray", start=_moment(each.from_s), end=_moment(each.to_s)) for each in spans),
        halts=tuple(
            Halt(sensor_uid="tray", after=_moment(each.after_s), before=_moment(each.before_s))
            for each in found
            if isinstance(each, Stop)
        ),
    )


def _moment(at_s: float) -> datetime:
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=at_s)
