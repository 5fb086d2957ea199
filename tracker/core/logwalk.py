"""Which notes of a log open, touch and end each run: order and state only, no hours yet."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import islice
from typing import Literal, NamedTuple

from tracker.core.hands import Setting, ran_on, setting
from tracker.core.timeline import (
    ONE_ACT,
    Amount,
    Entry,
    Flaw,
    OnWinder,
    Service,
    Shown,
    Sighting,
    Silent,
    Unheard,
    Wear,
    Wind,
)

EndedBy = Literal[
    "found stopped",
    "stop heard",
    "rewound going",
    "rewound, not noticed",
    "part wind",
    "stopped on purpose",
    "service",
    "worn",
    "on a winder",
]
StartedBy = Literal["crown", "wear", "winder"]
State = Literal["going", "stopped", "unknown"]

LONG_REST = timedelta(days=90)
"""A watch nobody noted as going, wound or serviced for so long has rested (owner's figure; common practice, no source)."""

WORN_ON = timedelta(hours=8)
WORN_FROM_STOP = timedelta(hours=14)
"""So long worn an automatic is full: if it was going when put on, or from a stop (owner's figures; common practice, no
source)."""

SURELY_GOING = timedelta(hours=12)
"""An automatic noted as going so lately is taken to be going when put on (common practice, no source)."""


@dataclass(slots=True, kw_only=True)
class Run:
    """One run as indexes into the ordered notes.

    `start` and `start_again` are the winding and its last repetition; `looks` the notes that it was going after the
    winding; `readings` those that read its hands once it had stopped; `hands_from` the winding with which hands that
    were not set ran on; `worn` says that wear or a winder has touched it, so that its length tells nothing; `after_rest`
    that it is the first after a long rest; `side_spring_used` that the chronograph ran or the alarm rang in it, which
    shortens it; `at_once` that it stood again as soon as it was wound; `unheard` that there was a time of which its sensor
    tells nothing, so that what it told since may be of another winding; `nothing_between` that its owner says there was none.
    """

    start: int
    start_again: int
    amount: Amount
    by: StartedBy = "crown"
    worn: bool = False
    after_rest: bool = False
    side_spring_used: bool = False
    at_once: bool = False
    service_at: datetime | None = None
    hands: Setting | None = None
    hands_from: int | None = None
    unheard: bool = False
    nothing_between: bool = False
    looks: list[int] = field(default_factory=list)
    readings: list[int] = field(default_factory=list)

    @property
    def going(self) -> int | None:
        """The last note that it was going after the winding."""
        return self.looks[-1] if self.looks else None

    @property
    def last_going(self) -> int:
        """The last note at which it was going: the winding itself if it was not seen since."""
        return self.looks[-1] if self.looks else self.start_again


class Ended(NamedTuple):
    """A run and the note that ended it."""

    run: Run
    end: int
    ended_by: EndedBy


@dataclass(slots=True)
class Walk:
    """What is known after the notes walked so far: the ended runs, the open one, the state and the note that told it."""

    by_rotor: bool
    dial_hours: int
    entries: Sequence[Entry]
    ended: list[Ended] = field(default_factory=list)
    run: Run | None = None
    state: State = "unknown"
    told_by: int | None = None
    services: list[datetime] = field(default_factory=list)
    hands: Setting | None = None
    hands_from: int | None = None  # the winding with which hands that were not set ran on
    on_wrist: bool = False
    on_winder: bool = False
    full_after: timedelta = WORN_FROM_STOP  # how long it must be worn this time to be full
    active_at: datetime | None = None  # last noted as going, wound, worn or serviced
    still: Run | None = None  # the run whose stopped hands nobody has touched yet
    begun: list[Run] = field(default_factory=list)  # every run since the last service
    flaws: list[Flaw] = field(default_factory=list)
    stood: list[Shown] = field(default_factory=list)  # what the hands showed in this standstill

    def tell(self, state: State, index: int) -> None:
        """Note the state and what told it."""
        if state != "stopped":
            self.stood.clear()
            self.active_at = self.entries[index].at
        self.state, self.told_by = state, index

    def begin(self, run: Run) -> None:
        """Open a run."""
        self.run = run
        self.begun.append(run)

    def rested(self, at: datetime) -> bool:
        """Whether the watch has rested long by then."""
        return self.active_at is not None and at - self.active_at >= LONG_REST

    def end(self, index: int, ended_by: EndedBy) -> None:
        """Close the open run; time on the wrist or a winder is no run, nor a moment between laying down and winding."""
        run, at = self.run, self.entries[index].at
        if run is not None and (run.by == "crown" or not (run.worn or at - self.entries[run.start].at <= ONE_ACT)):
            self.ended.append(Ended(run, index, ended_by))
        self.run = None

    def rests(self) -> None:
        """Nothing winds it by moving."""
        self.on_wrist = self.on_winder = False


def walk(entries: Sequence[Entry], *, by_rotor: bool, dial_hours: int = 12) -> Walk:
    """Walk the notes of one watch (in order, voided ones left out); `by_rotor` if wearing winds it."""
    done = Walk(by_rotor, dial_hours, entries)
    for index, entry in enumerate(entries):
        if isinstance(entry, Wind):
            _wind(done, index, entry)
        elif isinstance(entry, Sighting):
            _sighting(done, index, entry)
        elif isinstance(entry, Wear):
            (_wear_winds if by_rotor else _wear)(done, index, entry)
        elif isinstance(entry, OnWinder) and by_rotor:
            _winder(done, index, entry)
        elif isinstance(entry, Service):
            _service(done, index, entry)
        elif isinstance(entry, Unheard):
            if done.run is not None:
                done.run.unheard = True
        elif isinstance(entry, Silent):
            done.tell("unknown", index)
    return done


def _wind(now: Walk, index: int, wind: Wind) -> None:
    repeated = _repeated(now, wind)
    _side_spring(now, wind, runs_ago=1 if repeated is None else 2)
    if repeated is not None:
        if wind.found == "stopped":
            now.flaws.append((wind.uid, "already wound"))
        now.hands = now.hands if wind.hands == "not set" else _hands_after(now, wind, kept=True)
        repeated.start_again, repeated.looks, repeated.hands = index, [], now.hands
        repeated.unheard = repeated.nothing_between = False
        now.tell("going", index)
        return
    _vouched(now, wind)
    known_stopped = now.state == "stopped"
    _end_by_winding(now, index, wind)
    now.hands = _hands_after(now, wind, kept=wind.found == "going" and not known_stopped)
    now.hands_from = index if wind.hands == "not set" else now.hands_from
    run = Run(
        start=index,
        start_again=index,
        amount=wind.amount,
        worn=now.on_wrist or now.on_winder,
        after_rest=now.rested(wind.at),
        service_at=now.services[-1] if now.services else None,
        hands=now.hands,
        hands_from=now.hands_from,
    )
    now.begin(run)
    now.still = None
    now.tell("going", index)


def _end_by_winding(now: Walk, index: int, wind: Wind) -> None:
    if now.state == "stopped":
        if wind.found != "going":
            _read(now, index, wind)
    elif wind.found == "stopped":
        _stop(now, index, wind)
    elif now.run is not None:
        if wind.found == "going":
            now.run.looks.append(index)
        rewound: EndedBy = "rewound going" if wind.found == "going" else "rewound, not noticed"
        now.end(index, "part wind" if wind.amount == "part" else rewound)


def _repeated(now: Walk, wind: Wind) -> Run | None:
    """The run that this winding only winds again: two people's full winds in one act, or a chain of them, are one."""
    run = now.run
    if run is None or run.by != "crown" or not run.amount == wind.amount == "full":
        return None
    return run if wind.at - now.entries[run.start_again].at <= ONE_ACT else None


def _side_spring(now: Walk, entry: Wind | Sighting, runs_ago: int = 1) -> None:
    """What was used since the last winding was used in the run begun then."""
    if entry.side_spring_used and len(now.begun) >= runs_ago:
        now.begun[-runs_ago].side_spring_used = True


def _vouched(now: Walk, entry: Wind | Sighting) -> None:
    """Its owner says that it was not wound meanwhile, heard or not."""
    if entry.nothing_between and now.run is not None:
        now.run.nothing_between, now.run.unheard = True, False


def _hands_after(now: Walk, wind: Wind, *, kept: bool) -> Setting | None:
    """What the hands are read against from this winding on; `kept` if they ran on meanwhile.

    Hands that were not set run on from where they stood; their date says nothing, for which half of the day they stood
    in is not known.
    """
    if wind.hands == "set now":
        return setting(wind.at, wind.zone, wind.within_min, date_set=wind.date_set)
    if wind.hands == "not set" and wind.found != "going" and now.state == "stopped":
        return ran_on(wind.at, wind.within_min, now.stood, now.dial_hours)
    if wind.hands != "left" or not kept or now.hands is None:
        return None
    return _dated(now.hands, wind) if wind.date_set else now.hands


def _dated(hands: Setting, wind: Wind) -> Setting:
    """The date alone was set: good to know only if it was set with the hands before, for else noon may pass as midnight."""
    if hands.dated is None:
        return hands
    return replace(hands, dated=(wind.at - timedelta(minutes=wind.within_min) + hands.offset).date())


def _sighting(now: Walk, index: int, sighting: Sighting) -> None:
    _side_spring(now, sighting)
    _vouched(now, sighting)
    if sighting.seen == "going":
        _going(now, index, of_this_run=not (sighting.by_sensor and now.run is not None and now.run.unheard))
    elif sighting.seen == "stopped":
        if now.state == "stopped":
            _read(now, index, sighting)
        else:
            _stop(now, index, sighting)
    elif sighting.seen == "stopped on purpose" and now.state != "stopped":
        if now.run is not None:
            now.run.looks.append(index)
        now.end(index, "stopped on purpose")
        now.rests()
        now.tell("stopped", index)


def _going(now: Walk, index: int, *, of_this_run: bool = True) -> None:
    """Seen going; after a stop without a winding it was lifted or nudged, and its hands count no more."""
    if now.state == "stopped":
        now.hands = now.still = None
    if now.run is not None and of_this_run:
        now.run.looks.append(index)
    now.tell("going", index)


def _stop(now: Walk, index: int, entry: Wind | Sighting) -> None:
    if now.run is not None:
        now.run.at_once = now.run.by == "crown" and entry.at - now.entries[now.run.start_again].at <= ONE_ACT
    now.still = now.run if now.run is not None and (now.run.by == "crown" or not now.run.worn) else None
    now.end(index, "stop heard" if isinstance(entry, Sighting) and entry.by_sensor else "found stopped")
    now.rests()
    now.tell("stopped", index)
    _read(now, index, entry)


def _read(now: Walk, index: int, entry: Wind | Sighting) -> None:
    if entry.shown is None:
        return
    now.stood.append(entry.shown)
    if now.still is not None:
        now.still.readings.append(index)


def _wear(now: Walk, index: int, wear: Wear) -> None:
    """A hand-wound watch put on unwound, or laid down, is going, unless it is known to have stopped before that."""
    laid_down_stopped = wear.act == "laid down" and now.state == "stopped"
    if not laid_down_stopped and not _part_of_what_follows(now, index):
        _going(now, index)


def _part_of_what_follows(now: Walk, index: int) -> bool:
    at = now.entries[index].at
    for entry in islice(now.entries, index + 1, None):
        if entry.at - at > ONE_ACT:
            return False
        if isinstance(entry, Wind) or (isinstance(entry, Sighting) and entry.seen == "stopped"):
            return True
    return False


def _wear_winds(now: Walk, index: int, wear: Wear) -> None:
    """Wear winds this watch: the run before ends, and laying it down starts one, full if it was worn for long enough.

    On the wrist the hands run on; only if it may have stopped before, nobody knows what they show.
    """
    put_on = wear.act == "put on"
    if (put_on or not now.on_wrist) and not _surely_going(now, wear):
        now.hands = None
    if now.run is not None and not put_on:
        now.run.worn = True  # laid down without having been put on: worn since nobody knows when
    began = now.run
    if put_on:
        now.full_after = WORN_ON if _surely_going(now, wear) else WORN_FROM_STOP
    now.end(index, "worn")
    full = not put_on and now.on_wrist and began is not None and _worn_full(now, began, wear)
    rested = began.after_rest if began is not None and now.on_wrist else now.rested(wear.at)
    now.rests()
    now.on_wrist = put_on
    if put_on or not _just_stopped(now, wear):
        now.begin(_run_by_rotor(now, index, "full" if full else "unsure", by="wear", rested=rested, moved=put_on))
        now.still = None
        now.tell("going", index)


def _winder(now: Walk, index: int, entry: OnWinder) -> None:
    """A winder winds it as far as it turns: the run before ends, and taking it off starts one that is not sure to be full."""
    put_on = entry.act == "on"
    if not _surely_going(now, entry):
        now.hands = None
    if now.run is not None and not put_on:
        now.run.worn = True  # taken off without having been put on: there since nobody knows when
    began, moved = now.run, now.on_winder
    now.end(index, "on a winder")
    rested = began.after_rest if began is not None and moved else now.rested(entry.at)
    now.rests()
    now.on_winder = put_on
    if put_on or not _just_stopped(now, entry):
        now.begin(_run_by_rotor(now, index, "unsure", by="winder", rested=rested, moved=put_on))
        now.still = None
        now.tell("going", index)


def _just_stopped(now: Walk, moved: Wear | OnWinder) -> bool:
    return now.state == "stopped" and now.told_by is not None and moved.at - now.entries[now.told_by].at <= ONE_ACT


def _surely_going(now: Walk, wear: Wear | OnWinder) -> bool:
    return now.state == "going" and now.told_by is not None and wear.at - now.entries[now.told_by].at <= SURELY_GOING


def _worn_full(now: Walk, began: Run, laid_down: Wear) -> bool:
    """Whether what began on the wrist left it full: a full winding there, or wear for long enough, widths taken off."""
    if began.by != "wear":
        return began.amount == "full"
    put_on = now.entries[began.start]
    width = timedelta(minutes=put_on.within_min + laid_down.within_min)
    return laid_down.at - put_on.at - width >= now.full_after


def _run_by_rotor(now: Walk, index: int, amount: Amount, *, by: StartedBy, rested: bool, moved: bool) -> Run:
    return Run(
        start=index,
        start_again=index,
        amount=amount,
        by=by,
        worn=moved,
        after_rest=rested,
        service_at=now.services[-1] if now.services else None,
        hands=None if moved else now.hands,
        hands_from=now.hands_from,
    )


def _service(now: Walk, index: int, service: Service) -> None:
    """It came back: when it was handed in is not noted, so the run is known only up to when it was last seen going."""
    now.end(index, "service")
    now.services.append(service.at)
    now.begun = []
    now.hands = now.still = None
    now.rests()
    now.tell("unknown", index)
