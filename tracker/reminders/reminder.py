"""One reminder as a value, and as the row that keeps it."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Generic, Literal, TypeVar

from tracker.reminders.cuefacts import CueFacts
from tracker.reminders.roundfacts import RoundFacts
from tracker.reminders.runfacts import RunFacts
from tracker.reminders.winderfacts import WinderFacts
from tracker.store.moments import from_text, to_text

LAST_CALL = "last call"
LOOK = "look"
CUE = "cue"
WINDER = "winder"
ROUND = "round"
RUN = "run"

State = Literal["planned", "due", "closed", "withdrawn"]
ClosedBy = Literal["wound", "done", "lapsed"]


@dataclass(frozen=True, slots=True)
class Facts:
    """What a last call was planned from: the watch by nickname alone, its wind-by as first told, the run's beginning."""

    nickname: str
    wind_by: datetime
    started_at: datetime

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "nickname": self.nickname,
            "wind_by_utc": to_text(self.wind_by),
            "started_utc": to_text(self.started_at),
        }

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "Facts":
        """Read back what `to_dict` gave."""
        return cls(stored["nickname"], from_text(stored["wind_by_utc"]), from_text(stored["started_utc"]))


Told = TypeVar("Told", Facts, CueFacts, WinderFacts, RoundFacts, RunFacts)


# Without slots: Python 3.11 can't mark the kind of a generic value on a frozen one that has them.
@dataclass(frozen=True, kw_only=True)
class Call(Generic[Told]):
    """One reminder; (kind, subject, episode, ordinal) is its key.

    A last call's subject is a watch and its episode the winding it runs on. `useful_until` is the wind-by as known now,
    while `facts` keeps the one that was told, so that small moves can't add up unnoticed. So with a look, which takes a
    last call's place; its wind-by is the moment of the look. A cue's subject is a watch,
    too; its episode is the cue, or the end of the silence its owner asked for. So is a winder's; its episode is what was
    found, and since when. A digest's subject is whose rounds they are, its episode the round by the owner's clock.
    """

    uid: str
    kind: str = LAST_CALL
    subject_uid: str
    episode: str
    ordinal: int
    due_at: datetime
    useful_until: datetime
    facts: Told
    state: State
    closed_by: ClosedBy | None = None
    planned_at: datetime

    @property
    def open(self) -> bool:
        """Whether it still waits for its moment, or for the watch to be wound."""
        return self.state in {"planned", "due"}

    @property
    def key(self) -> str:
        """What a message carries so that a repeat is recognised: `last-call/watch/winding/1`."""
        return "/".join((self.kind.replace(" ", "-"), self.subject_uid, self.episode, str(self.ordinal)))


Reminder = Call[Facts]
CueReminder = Call[CueFacts]
WinderReminder = Call[WinderFacts]
RoundReminder = Call[RoundFacts]
RunReminder = Call[RunFacts]
AnyReminder = Reminder | CueReminder | WinderReminder | RoundReminder | RunReminder


def reminder_from_row(row: dict[str, Any]) -> Reminder:
    """The last call of a row."""
    return _call(row, Facts.from_dict(json.loads(row["facts"])))


def cue_from_row(row: dict[str, Any]) -> CueReminder:
    """The reminder of a cue of a row."""
    return _call(row, CueFacts.from_dict(json.loads(row["facts"])))


def winder_from_row(row: dict[str, Any]) -> WinderReminder:
    """The reminder of a winder of a row."""
    return _call(row, WinderFacts.from_dict(json.loads(row["facts"])))


def round_from_row(row: dict[str, Any]) -> RoundReminder:
    """The digest of a row."""
    return _call(row, RoundFacts.from_dict(json.loads(row["facts"])))


def run_from_row(row: dict[str, Any]) -> RunReminder:
    """The reminder of a run of a row."""
    return _call(row, RunFacts.from_dict(json.loads(row["facts"])))


def _call(row: dict[str, Any], facts: Told) -> Call[Told]:
    return Call(
        uid=row["uid"],
        kind=row["kind"],
        subject_uid=row["subject_uid"],
        episode=row["episode"],
        ordinal=row["ordinal"],
        due_at=from_text(row["due_utc"]),
        useful_until=from_text(row["useful_until_utc"]),
        facts=facts,
        state=row["state"],
        closed_by=row["closed_by"],
        planned_at=from_text(row["planned_at_utc"]),
    )


def reminder_row(reminder: AnyReminder, now: datetime) -> dict[str, Any]:
    """The row of a value, changed now."""
    return {
        "uid": reminder.uid,
        "kind": reminder.kind,
        "subject_uid": reminder.subject_uid,
        "episode": reminder.episode,
        "ordinal": reminder.ordinal,
        "due_utc": to_text(reminder.due_at),
        "useful_until_utc": to_text(reminder.useful_until),
        "facts": json.dumps(reminder.facts.to_dict(), ensure_ascii=False),
        "state": reminder.state,
        "closed_by": reminder.closed_by,
        "planned_at_utc": to_text(reminder.planned_at),
        "changed_at_utc": to_text(now),
    }
