"""What the log tells of its keeper's habit, in words; nothing where there is not enough of it."""

from collections.abc import Mapping, Sequence
from itertools import islice
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.habit import OF_LATE, Habit, TimeOfDay, Winding, learned
from tracker.store.moments import from_text
from tracker.words import say, written


def habit_of(rows: Sequence[Mapping[str, Any]], zone: ZoneInfo) -> Habit:
    """The habit shown by the full windings among the rows of a log, which come newest first."""
    wound = (row for row in rows if row["table"] == "winding" and row["amount"] == "full")
    late = [Winding(from_text(row["at_utc"]), row["within_min"], row["crown_turns"]) for row in islice(wound, OF_LATE)]
    return learned(late[::-1], zone)


def said(habit: Habit) -> str:
    """Usual times of day, interval and turns, each with how sure it is."""
    told = []
    if habit.on_weekdays is not None:
        told.append(say("at about {time} on weekdays", time=_time(habit.on_weekdays)))
    if habit.at_weekends is not None:
        told.append(say("at about {time} at weekends", time=_time(habit.at_weekends)))
    if habit.interval_h is not None:
        between = phrases.span(habit.interval_h.low, habit.interval_h.high)
        told.append(say("after {between} in the middle half of {n} times", between=between, n=habit.interval_h.count))
    if habit.crown_turns is not None:
        told.append(say("by {n} turns", n=written(habit.crown_turns.mid, "g")))
    return "; ".join(told)


def _time(usual: TimeOfDay) -> str:
    minute = round(usual.minute) % 1440
    clock = f"{minute // 60:02d}:{minute % 60:02d}"
    return say(
        "{time} ± {spread} ({n} windings)", time=clock, spread=phrases.length(usual.spread_min / 60.0), n=usual.windings
    )
