"""Lifted or stopped? What is noted and heard after a watch fell silent on its sensor.

A watch that is lifted to be worn falls silent too. That it was put on, wound *while it was going* or goes again without a
winding proves that it had only been away.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Literal

from tracker.core.heard import Answered, Halt
from tracker.core.near import Near
from tracker.core.placed import Placed
from tracker.core.timeline import ONE_ACT, Entry, Service, Sighting, Wind

Sign = Literal["lifted", "stopped", "asked"]

AT_ONCE = timedelta(hours=2)
"""A winding whose state nobody noted, so soon after the watch fell silent, may be why it was lifted (owner's figure)."""


def sign(halt: Halt, placed: Near[Placed], again: datetime | None, answers: Iterable[Answered]) -> Sign | None:
    """What speaks for the one or the other; *asked*: it may be either; None: nothing speaks for lifting.

    `again` is when it was heard going next.
    """
    told = [each.word for each in answers if _about(each, halt) and each.word in {"lifted", "stopped"}]
    if told:
        return "lifted" if told[-1] == "lifted" else "stopped"
    for each in placed.since(halt.after):
        if again is not None and each.low > again:
            break
        if not _nothing_seen(each.note):
            return _said(each, halt)
    return None if again is None else "lifted"


def _about(answer: Answered, halt: Halt) -> bool:
    return answer.sensor_uid == halt.sensor_uid and halt.after - ONE_ACT <= answer.at <= halt.before + ONE_ACT


def _nothing_seen(note: Entry) -> bool:
    return isinstance(note, Sighting) and note.seen == "not noticed"


def _said(placed: Placed, halt: Halt) -> Sign | None:
    """What the first note after it says."""
    note = placed.note
    if isinstance(note, Wind):
        if note.found == "not noticed":
            return "asked" if placed.low - halt.before <= AT_ONCE else None
        return "lifted" if note.found == "going" else None
    if isinstance(note, Sighting):
        if note.seen == "going":
            return "lifted" if placed.low >= halt.before else "asked"
        return None if note.seen == "stopped" else "lifted"
    # When it was handed in is not noted: that may be when it fell silent.
    return "asked" if isinstance(note, Service) else "lifted"
