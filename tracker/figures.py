"""What is known of each watch at a moment: its log read, its reserve as it was last worked out, its state now."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker import known, sensing, turnsmade
from tracker.asked import stops_a_year, threshold_of, today_of
from tracker.collection import preferences_of
from tracker.commands.settings import Settings
from tracker.core.acts import Act
from tracker.core.benchtest import BenchTest
from tracker.core.curve import Curve
from tracker.core.decline import Signs
from tracker.core.heard import Question
from tracker.core.heldback import Held
from tracker.core.offer import Offer, offered, run_to_look_at
from tracker.core.presentrun import PresentRun, kept_wound, present_run
from tracker.core.reserve import Estimate
from tracker.core.rundown import CurrentRun, History
from tracker.core.segment import Segment, present_segment
from tracker.core.standing import Standing, standing
from tracker.core.timing import Reading
from tracker.core.watch import Watch
from tracker.core.windby import Risk, risk_for
from tracker.core.windstate import Wound
from tracker.errors import NotFound, NotYet
from tracker.known import Answer, Memory, Present, Remembered, freshness, memory_of
from tracker.store import benchtests, choices, estimates, register
from tracker.store.estimates import Key
from tracker.store.readings import readings
from tracker.store.store import Store
from tracker.words import say
from tracker.workedout import Worked, age_asked_at

Seen = TypeVar("Seen", "Figures", "Waiting")

MOST_READ = 6
"""So many logs that have moved on are read for one list: a sitting's, not those of a file that was taken in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """One watch with all that is derived of it at one moment.

    `held` is the run that is held back, with its question; `signs` is what the runs show beside the estimate; `key` is
    what the estimate is good for. `behind` tells that the log has moved on since the estimate, which is being worked out
    anew: it is the last one, read with the log of now. `offer` is the look offered of the present run, if any; `questions`
    are what its sensors left open, oldest first. `chosen_round` is what a person
    chose for its next winding, `test` the run-down test that it is under: nobody is to wind it. `present` is the present run
    as it counts, and how long it lasts. `readings` are what was timed of it.
    """

    watch: Watch
    history: History
    held: Held | None
    segment: Segment
    estimate: Estimate
    signs: Signs
    risk: Risk
    standing: Standing
    present: PresentRun
    key: Key
    behind: bool = False
    offer: Offer | None = None
    questions: tuple[Question, ...] = ()
    chosen_round: datetime | None = None
    test: BenchTest | None = None
    readings: tuple[Reading, ...] = ()

    @property
    def run(self) -> CurrentRun | None:
        """The present run as it counts."""
        return self.present.run

    @property
    def curve(self) -> Curve:
        """How long the present run lasts."""
        return self.present.curve

    @property
    def kept_wound(self) -> bool:
        """Whether it is worn, or on a winder that keeps it going: nothing is to be wound."""
        return kept_wound(self.history, self.present)

    @property
    def wound(self) -> Wound | None:
        """How far it is wound, where that is followed and known."""
        return self.present.wound


@dataclass(frozen=True, slots=True)
class Waiting:
    """One watch whose reserve was not worked out yet; `failed`: it could not be, and is tried again when its log moves on."""

    watch: Watch
    history: History
    failed: bool


@dataclass(frozen=True, slots=True)
class Survey:
    """The watches by nickname: those with figures, and those without."""

    known: list[Figures]
    waiting: list[Waiting]

    @property
    def own(self) -> "Survey":
        """Without customers' watches: nobody is called to wind those."""
        return Survey(_own(self.known), _own(self.waiting))


def _own(found: list[Seen]) -> list[Seen]:
    return [each for each in found if not each.watch.customers]


def collect(store: Store, now: datetime, *, archived: bool = False) -> list[Figures]:
    """Every watch in use (or, with `archived`, put away) by nickname that has figures, as it stands now."""
    return survey(store, now, archived=archived).known


def survey(store: Store, now: datetime, *, archived: bool = False, with_runs: bool = True) -> Survey:
    """As `collect`, those without figures told apart. Nothing is worked out here.

    Without `with_runs` the ended runs are left out of histories and segments wherever the cache tells the rest: a list
    of many watches needs none of them, and reading long logs takes seconds. Nor is anything read then of a watch without
    figures; and where many logs have moved on, some are shown as they stood when they were worked out.
    """
    db = store.reading()
    # Counters come first: a log that grows meanwhile is then remembered under a count that no longer holds.
    counters = sensing.counters(db)
    watches = register.watches(db, archived=archived)
    return read(db, watches, counters, now, memory_of(store), with_runs=with_runs)


def look(store: Store, uid: str, now: datetime) -> Figures | Waiting:
    """One watch as it stands now. Nothing is worked out here.

    Raises:
        NotFound: there is no such watch.
    """
    db = store.reading()
    counters, watch = sensing.counters(db), register.watch(db, uid)
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    found = read(db, [watch], counters, now, memory_of(store))
    return found.known[0] if found.known else found.waiting[0]


def one(store: Store, uid: str, now: datetime) -> Figures:
    """As `look`, of a watch that has figures.

    Raises:
        NotFound: there is no such watch.
        NotYet: its reserve is not worked out yet, or could not be.
    """
    found = look(store, uid, now)
    if isinstance(found, Waiting):
        raise NotYet(found.watch.nickname, failed=found.failed)
    return found


def read(
    db: Database,
    watches: Sequence[Watch],
    counters: Mapping[str, int],
    now: datetime,
    memory: Memory,
    *,
    into: Remembered | None = None,
    with_runs: bool = True,
) -> Survey:
    """These watches as their logs and the cache tell; `with_runs` as of `survey`.

    Inside a change what is read is remembered in `into`, until the change is kept.
    """
    uids = [watch.uid for watch in watches]
    settings, stored = preferences_of(db).values, estimates.read_keys(db, uids)
    answers = known.answers(db, uids, stored, memory)
    brief = {} if with_runs else _present(watches, answers, counters, memory)
    full = [watch for watch in watches if watch.uid not in brief and (with_runs or watch.uid in answers)]
    read = {uid: short.history for uid, short in brief.items()}
    read |= known.histories(db, full, counters, memory, memory.histories if into is None else into)
    read = sensing.carried_on(db, read)
    today, chosen, turns = today_of(now, settings), choices.chosen(db), turnsmade.acts(db, watches, now)
    tests = benchtests.under_test(db)
    timed = readings(db, [*answers])
    found = Survey([], [])
    for watch in watches:
        short, answer = brief.get(watch.uid), answers.get(watch.uid)
        history = read.get(watch.uid, History())
        fresh = freshness(stored.get(watch.uid), counters[watch.uid], today, threshold_of(settings))
        of_runs = short.segment if short else None
        worked = answer and Worked(watch, history, *answer, of_runs, tuple(timed.get(watch.uid, ())))
        figures = worked and figures_of(
            worked, settings, now, behind=fresh == "behind", measured=turns.get(watch.uid, ())
        )
        if figures:
            placed = replace(figures, chosen_round=chosen.get(watch.uid))
            found.known.append(tested(placed, tests.get(watch.uid)))
        else:
            found.waiting.append(Waiting(watch, history, failed=answer is not None and fresh == "holds"))
    return found


def _present(
    watches: Sequence[Watch],
    answers: Mapping[str, tuple[Key, Answer]],
    counters: Mapping[str, int],
    memory: Memory,
) -> dict[str, Present]:
    """What the cache tells of logs that need not be read: they have not moved on, or too many have.

    A look is offered by the runs that ended before.
    """
    found = {watch.uid: answers[watch.uid] for watch in watches if watch.uid in answers and not watch.looks_offered}
    moved = [uid for uid, (key, _) in found.items() if key.log_counter != counters[uid]]
    unread = [uid for uid in moved if memory.histories.get(uid, (None,))[0] != counters[uid]]
    read = {*moved} - {*unread[MOST_READ:]}
    return {uid: answer.present for uid, (_, answer) in found.items() if answer.present and uid not in read}


def tested(each: Figures, test: BenchTest | None) -> Figures:
    """These figures of a watch under a run-down test, if it still is in the run that was to be tested: no other look is offered."""
    run = each.history.current
    if test is None or (run is not None and run.started_by != "crown"):
        return each
    return replace(each, test=test, offer=None)


def figures_of(
    worked: Worked, settings: Settings, now: datetime, *, behind: bool = False, measured: Sequence[Act] = ()
) -> Figures | None:
    """What was worked out of a watch, as it stands at a moment; None if nothing could be. `measured` as of `present_run`."""
    watch, history = worked.watch, worked.history
    found, held, run = worked.answer.estimate, worked.answer.held, history.current
    if found is None:
        return None
    present = present_run(watch, history, found.next_run, now, measured)
    believed_h = held.seen_going_h if held and run and held.run_uid == run.wind_uid and not present.wound else None
    risk = risk_for(found.next_run, stops_a_year(settings, watch.stake))
    return Figures(
        watch=watch,
        history=history,
        # The newest entry may be the answer to its question.
        held=None if behind else held,
        segment=worked.segment
        or present_segment(history, age_asked_at(today_of(now, settings)), held.run_uid if held else None),
        estimate=found,
        signs=worked.answer.signs,
        risk=risk,
        standing=standing(
            replace(history, current=present.run),
            present.curve,
            risk.p,
            now,
            believed_h,
            kept_wound=kept_wound(history, present),
        ),
        present=present,
        key=worked.key,
        behind=behind,
        offer=None if behind else _offer(worked, settings),
        questions=() if behind else worked.answer.questions,
        readings=worked.readings,
    )


def figures_now(worked: Worked, settings: Settings, now: datetime) -> Figures | Waiting:
    """What was just worked out of a watch, as it stands now."""
    return figures_of(worked, settings, now) or Waiting(worked.watch, worked.history, failed=True)


def _offer(worked: Worked, settings: Settings) -> Offer | None:
    """The look that is offered of the present run."""
    watch, history, found, held = worked.watch, worked.history, worked.answer.estimate, worked.answer.held
    run = run_to_look_at(watch, history, held.run_uid if held else None)
    if run is None or found is None or found.looks is None:
        return None
    accepted, zone = stops_a_year(settings, watch.stake), ZoneInfo(settings.zone)
    return offered(history, run, found.looks, found.next_run, stops_a_year=accepted, zone=zone)
