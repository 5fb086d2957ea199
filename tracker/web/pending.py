"""What pages say of figures that are still being worked out, or could not be."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from flask import request, url_for

from tracker import phrases
from tracker.derive import Line
from tracker.estimating.patience import FEW
from tracker.figures import Waiting
from tracker.words import say

NAMED = 6
"""How many are named in one line."""


@dataclass(frozen=True, slots=True)
class Pending:
    """The watches without figures: `to_come` are being worked out, `failed` could not be."""

    to_come: list[Waiting]
    failed: list[Waiting]


def pending(waiting: Sequence[Waiting]) -> Pending:
    """Tell them apart."""
    return Pending([each for each in waiting if not each.failed], [each for each in waiting if each.failed])


def to_wind(lacking: Pending) -> int:
    """How many that are kept going may still turn out to want winding."""
    return sum(each.watch.kept and not each.watch.customers for each in lacking.to_come)


def asks(line: Line, uid: str | None = None) -> str:
    """The address at which a page asks whether what it waits for is there; empty if it waits for nothing.

    A page that was filled in and could not be taken is left as it is.
    """
    waits = bool(line.missed) if uid is None else uid in line.missed
    return url_for("progress.page", watch=uid) if waits and request.method == "GET" else ""


def progress(line: Line) -> str:
    """How far the work is, where it is more than a moment's."""
    if len(line.missed) <= FEW:
        return ""
    return say("Worked out: {done} of {of} watches; the rest follows.", done=line.of - len(line.missed), of=line.of)


def first_line(each: Waiting, now: datetime, zone: ZoneInfo) -> str:
    """How is this one? What can be said without figures."""
    if each.failed:
        return say("How long it goes could not be worked out.")
    last = each.history.last
    if last.state == "stopped" and last.since is not None:
        stopped = phrases.when(last.since, now, zone)
        if last.heard_run is not None:
            return say("Stopped {when}, by its sensor. How long it goes is being worked out.", when=stopped)
        return say("Stopped: seen so {when}. How long it goes is being worked out.", when=stopped)
    return say("Being worked out: how long it goes, and by when to wind it.")


def beyond_names(waiting: Sequence[Waiting]) -> str:
    """How many there are beyond those named; empty if all are."""
    more = len(waiting) - NAMED
    return say("and {n} more", n=phrases.number(more)) if more > 0 else ""


def anew() -> str:
    """Beside figures that the newest entry may have moved."""
    return say("being worked out anew")
