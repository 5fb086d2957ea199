"""What was worked out of each watch before: read from the cache, and told apart by whether it still holds."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import date, timedelta
from functools import cache
from typing import Any, Literal
from weakref import WeakKeyDictionary

from pydantic import TypeAdapter
from sqlite_utils import Database

from tracker import histories as histories_of
from tracker.core.decline import Signs
from tracker.core.heard import Question
from tracker.core.heldback import Held
from tracker.core.reserve import MODEL_VERSION, Estimate
from tracker.core.rundown import History
from tracker.core.segment import Segment
from tracker.core.watch import Watch
from tracker.store import estimates
from tracker.store.estimates import Key, Stored
from tracker.store.store import Store

Freshness = Literal["holds", "aged", "behind", "none"]
"""Whether what is cached of a watch still holds.

*aged*: only its day has passed; *behind*: its log or the owner's threshold has moved on since, or so much time has
passed that it should be said;
*none*: there is nothing, or nothing of this model.
"""

AGED_UNSAID = timedelta(days=7)
"""A watch at rest grows older by a day at midnight, which moves its reserve by less than any digit shown: within so
many days of its figures nothing is said."""


@dataclass(frozen=True, slots=True)
class Present:
    """How the log stood when it was worked out, without the runs that had ended: all that a list of watches needs."""

    history: History
    segment: Segment


@cache
def _form() -> TypeAdapter[Present]:
    return TypeAdapter(Present)


@cache
def _questions() -> TypeAdapter[tuple[Question, ...]]:
    return TypeAdapter(tuple[Question, ...])


@dataclass(frozen=True, slots=True)
class Answer:
    """What was worked out of one watch: its estimate (None: it could not be), the run held back, whether it is at rest.

    `signs` is what its runs show beside the estimate, `present` how its log stood, `questions` what its sensors left open.
    `made_from` is the mark of what the estimate was made from (tracker.madefrom).
    """

    estimate: Estimate | None
    held: Held | None
    at_rest: bool
    signs: Signs = field(default_factory=Signs)
    present: Present | None = None
    questions: tuple[Question, ...] = ()
    made_from: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "estimate": self.estimate and self.estimate.to_dict(),
            "held": self.held and asdict(self.held),
            "at_rest": self.at_rest,
            "signs": self.signs.to_dict(),
            "present": self.present and _form().dump_python(self.present, mode="json"),
            "questions": _questions().dump_python(self.questions, mode="json"),
            "made_from": self.made_from,
        }

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "Answer":
        """Read back what `to_dict` gave, also after a round trip through JSON."""
        return cls(
            estimate=stored["estimate"] and Estimate.from_dict(stored["estimate"]),
            held=stored["held"] and Held(**stored["held"]),
            at_rest=stored["at_rest"],
            signs=Signs.from_dict(stored["signs"]),
            present=stored.get("present") and _form().validate_python(stored["present"]),
            questions=_questions().validate_python(stored.get("questions", ())),
            made_from=stored.get("made_from", ""),
        )


def present(history: History, segment: Segment) -> Present:
    """Leave out the ended runs."""
    return Present(replace(history, runs=()), replace(segment, runs=()))


Remembered = dict[str, tuple[int, History]]
"""Histories by watch, each with the count of the log that it was read at."""


@dataclass(slots=True)
class Memory:
    """Histories and answers read before, each with the count of the log or the key that it was read at."""

    histories: Remembered = field(default_factory=dict)
    answers: dict[str, tuple[Key, Answer]] = field(default_factory=dict)


_memories: WeakKeyDictionary[Store, Memory] = WeakKeyDictionary()


def memory_of(store: Store) -> Memory:
    """What this process has read of a collection before."""
    return _memories.setdefault(store, Memory())


def freshness(stored: Stored | None, log_counter: int, today: date, threshold: float) -> Freshness:
    """Whether what is cached holds for a watch at this count of its log, asked about this fall."""
    if stored is None or stored.key.model_version != str(MODEL_VERSION):
        return "none"
    if stored.key.log_counter != log_counter or stored.key.threshold != threshold:
        return "behind"
    day = date.fromisoformat(stored.key.day)
    if not stored.at_rest or day == today:
        return "holds"
    return "aged" if abs(today - day) <= AGED_UNSAID else "behind"


def answers(
    db: Database, uids: Sequence[str], stored: Mapping[str, Stored], memory: Memory
) -> dict[str, tuple[Key, Answer]]:
    """What is cached of these watches under this model."""
    wanted = [uid for uid in uids if uid in stored and stored[uid].key.model_version == str(MODEL_VERSION)]
    unread = [uid for uid in wanted if memory.answers.get(uid, (None,))[0] != stored[uid].key]
    for uid, (key, answer) in estimates.read_answers(db, unread).items():
        memory.answers[uid] = key, Answer.from_dict(answer)
    return {uid: memory.answers[uid] for uid in wanted if uid in memory.answers}


def histories(
    db: Database, watches: Sequence[Watch], counters: Mapping[str, int], memory: Memory, into: Remembered
) -> dict[str, History]:
    """The histories of these watches; read before, or read now and remembered in `into`.

    Inside a change that is not the memory itself: its counters may come again with another log if it is rolled back.
    """
    found = {
        uid: history
        for watch in watches
        for uid, (counter, history) in [(watch.uid, memory.histories.get(watch.uid, (None, None)))]
        if history is not None and counter == counters[uid]
    }
    unread = [watch for watch in watches if watch.uid not in found]
    for watch, told in zip(unread, histories_of.histories(db, unread).values(), strict=True):
        found[watch.uid] = told.history
        into[watch.uid] = counters[watch.uid], found[watch.uid]
    return found
