"""A service cue from the day it is raised until it is cleared: one pure step at a time, and it never flaps."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

RAISE = 0.70
"""A step is taken once it is this likely …"""
REARM = 0.35
"""… and taken back only once it is less likely than this (both tried by simulation, `make soak`)."""

Step = Literal["keep an eye", "service advised"]
Why = Literal["raised", "worse", "better", "cleared by service", "cleared by evidence"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """A cue that holds: its step, the service its fall is counted from, and until when its owner asked for silence."""

    step: Step
    service_at: datetime | None = None
    quiet_until: datetime | None = None

    def quiet(self, now: datetime) -> bool:
        """Whether its owner knows, and asked for silence."""
        return self.quiet_until is not None and self.quiet_until > now


@dataclass(frozen=True, slots=True, kw_only=True)
class Grounds:
    """How likely each step is by now, 0 to 1 (`advised` is never likelier than `keep`), since the last service known.

    `may_raise`: there is evidence enough to say so for the first time, or to say more than was said.
    """

    keep: float
    advised: float
    may_raise: bool = True
    service_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Turn:
    """What happens to a cue, and what it is from then on: None where it no longer holds."""

    why: Why
    cue: Cue | None


def next_cue(cue: Cue | None, grounds: Grounds) -> Turn | None:
    """The next thing to happen to a cue (None: there is none) on these grounds; None where all stays as it is.

    Asked again with what it answered it comes to rest. Between REARM and RAISE nothing is raised, cleared, worsened or
    bettered. A worse step speaks though its owner asked for silence.
    """
    if cue is None:
        return Turn("raised", _raised(grounds)) if grounds.may_raise and grounds.keep >= RAISE else None
    if _serviced_since(cue, grounds):
        return Turn("cleared by service", None)
    if grounds.keep < REARM:
        return Turn("cleared by evidence", None)
    return _moved(cue, grounds)


def _raised(grounds: Grounds) -> Cue:
    step: Step = "service advised" if grounds.advised >= RAISE else "keep an eye"
    return Cue(step=step, service_at=grounds.service_at)


def _serviced_since(cue: Cue, grounds: Grounds) -> bool:
    service = grounds.service_at
    return service is not None and (cue.service_at is None or service > cue.service_at)


def _moved(cue: Cue, grounds: Grounds) -> Turn | None:
    if cue.step == "keep an eye" and grounds.advised >= RAISE and grounds.may_raise:
        return Turn("worse", replace(cue, step="service advised", quiet_until=None))
    if cue.step == "service advised" and grounds.advised < REARM:
        return Turn("better", replace(cue, step="keep an eye"))
    return None
