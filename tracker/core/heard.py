"""What rest sensors heard of one watch while it lay on them, as values; and what is asked about it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

AnswerWord = Literal["stopped", "lifted", "not wound", "the log", "the sensor"]
Asking = Literal["lifted or stopped", "wound", "not heard", "log or sensor", "another watch"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """Heard going without a break from the first to the last sure reading."""

    sensor_uid: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Halt:
    """It fell silent, which the sensor takes for a stop: after its last sure sign of going, before its first of none."""

    sensor_uid: str
    after: datetime
    before: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What the owner said of what a sensor told at a moment; of an entry of the log, if it was about one."""

    sensor_uid: str
    at: datetime
    word: AnswerWord
    entry_uid: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """All of one watch, each in order of time, cut to the times in which it is said to have lain there.

    `laid` are the moments at which somebody said that it lies there now.
    """

    spells: tuple[Spell, ...] = ()
    halts: tuple[Halt, ...] = ()
    laid: tuple[datetime, ...] = ()
    answers: tuple[Answered, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What only the owner knows, asked once.

    *lifted or stopped*: it fell silent between `since` and `until`. *wound*: lifted at `since`, it goes again from `until`.
    *not heard*: the sensor told nothing from `since` to `until`. *log or sensor*: the entry `entry_uid` says that it had
    stopped while it was heard going all that time. *another watch*: what beats there from `since` on is not this one. An
    answer points at `sensor_uid` and the moment `since`.
    """

    asking: Asking
    sensor_uid: str
    since: datetime
    until: datetime
    entry_uid: str | None = None
