"""What the log of a watch says of its reserve, worked out anew: the figures that are kept are made here."""

import logging
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import partial

from sqlite_utils import Database

from tracker import known, sensing
from tracker.asked import threshold_of, today_of
from tracker.collection import preferences_of
from tracker.core.decline import signs
from tracker.core.heldback import held_back
from tracker.core.offer import run_to_look_at
from tracker.core.reserve import MODEL_VERSION, Estimate, estimate
from tracker.core.rundown import History
from tracker.core.segment import Segment, present_segment
from tracker.core.telling import Look
from tracker.core.timing import Reading
from tracker.core.watch import Watch
from tracker.foresight import prior_of, too_long
from tracker.histories import Told, histories
from tracker.known import Answer, Memory
from tracker.madefrom import made_from
from tracker.store import estimates, register
from tracker.store.estimates import Key
from tracker.store.readings import readings

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Worked:
    """What was worked out of a watch just now, and what it is good for."""

    watch: Watch
    history: History
    key: Key
    answer: Answer
    segment: Segment | None = None
    readings: tuple[Reading, ...] = ()


def work_out(db: Database, uid: str, now: datetime) -> Worked | None:
    """Estimate a watch from its log anew; None if there is no such watch.

    What goes wrong within the estimate is logged and is an answer, so that no other watch has to wait for it.
    """
    # The count comes first: what grows meanwhile is then worked out for a count that no longer holds.
    counter, watch = sensing.counters(db).get(uid), register.watch(db, uid)
    if counter is None or watch is None:
        return None
    told, settings = histories(db, [watch])[uid], preferences_of(db).values
    today, threshold = today_of(now, settings), threshold_of(settings)
    former = _former(db, uid)
    try:
        answer = answer_of(watch, told, today, threshold, former)
    except Exception:  # noqa: BLE001 -- whatever it is, the line must go on
        _log.exception("The reserve of the watch %s could not be worked out.", uid)
        answer = Answer(None, None, at_rest=told.history.current is None)
    current = told.history.current
    day = current.started_at.date() if current else today
    key, timed = Key(counter, str(MODEL_VERSION), day.isoformat(), threshold), readings(db, [uid])
    return Worked(watch, told.history, key, answer, readings=tuple(timed.get(uid, ())))


def _former(db: Database, uid: str) -> Answer | None:
    """What was worked out of a watch before under this model; what can't be read is no answer, and is worked out anew."""
    try:
        found = known.answers(db, [uid], estimates.read_keys(db, [uid]), Memory()).get(uid)
    except (LookupError, TypeError, ValueError):
        return None
    return found and found[1]


def answer_of(watch: Watch, told: Told, today: date, threshold: float, former: Answer | None = None) -> Answer:
    """What the runs of a watch say of its reserve; at rest its age is that of the owner's day.

    The estimate is that of the `former` answer (of this model) where it would be made from the same once more.
    """
    history = told.history
    held = held_back(history, partial(too_long, prior_of(watch)))
    segment = present_segment(history, age_asked_at(today), held.run_uid if held else None)
    looked_at = run_to_look_at(watch, history, held.run_uid if held else None)
    look = Look(looked_at.seen_going_h, watch.dial_hours) if looked_at else None
    mark = made_from(segment, prior_of(watch), threshold, watch.least_reserve_h, look)
    found = former.estimate if former is not None and former.made_from == mark else None
    if found is None:
        found = work_out_estimate(watch, segment, threshold, look)
    seen = signs(watch, history, segment, found, threshold, entries=told.entries)
    return Answer(
        found,
        held,
        at_rest=history.current is None,
        signs=seen,
        present=known.present(history, segment),
        questions=told.questions,
        made_from=mark,
    )


def age_asked_at(day: date) -> datetime:
    """The moment whose age counts for a watch at rest all day: told by the day alone, whatever the owner's zone."""
    return datetime.combine(day, time(), UTC)


def scale_h(watch: Watch) -> float:
    """The hours a reserve is thought of before anything was seen of it."""
    return prior_of(watch).scale_h


def work_out_estimate(watch: Watch, segment: Segment, threshold: float, look: Look | None = None) -> Estimate:
    """Estimate the reserve of a watch, and its falls by this share, from the runs that speak for it today.

    With `look`, what looks at such a run would tell, too.
    """
    prior, least_h, age = prior_of(watch), watch.least_reserve_h, segment.now_years
    return estimate(segment.runs, prior, now_years=age, threshold=threshold, least_h=least_h, look=look)
