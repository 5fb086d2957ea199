"""The time of a reading: what a message calls it, and whether that can be believed."""

import math
from datetime import UTC, datetime

from sensors.unread import Unreadable, shown

BEHIND_S = 24 * 3600.0
"""A stamp may lie this far behind the arrival: a sensor, or what passes its messages on, was cut off for a day."""
AHEAD_S = 120.0
"""A stamp may lie this far ahead of the arrival: clocks differ."""
LEAST_MS = 1e11
"""Numbers from here on are milliseconds: as seconds they would lie beyond the year 5000, as milliseconds in 1973."""


def moment_s(value: object) -> float:
    """Seconds since 1970 in UTC of a time as messages write it: ISO 8601 with a zone, or epoch seconds or milliseconds.

    Raises:
        Unreadable: it is no time, or an ISO time without a zone: read in the wrong one it could be hours wrong.
    """
    if isinstance(value, str):
        return _iso_s(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Unreadable("no time", shown(value))
    return _epoch_s(value)


def _epoch_s(value: float) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise Unreadable("no time", shown(value))
    return number / 1000.0 if abs(number) >= LEAST_MS else number


def _iso_s(text: str) -> float:
    try:
        moment = datetime.fromisoformat(text.strip())
        if moment.tzinfo is not None:
            return moment.timestamp()
    except (ValueError, OverflowError):
        raise Unreadable("no time", shown(text)) from None
    raise Unreadable("no zone", shown(text))


def believed(at_s: float, arrived_s: float) -> float:
    """The stamp itself, if it lies from 24 h behind to 2 min ahead of the arrival; it is never stamped anew.

    Raises:
        Unreadable: it lies outside.
    """
    if at_s < arrived_s - BEHIND_S:
        raise Unreadable("too far behind", named(at_s))
    if at_s > arrived_s + AHEAD_S:
        raise Unreadable("too far ahead", named(at_s))
    return at_s


def named(at_s: float) -> str:
    """A stamp as it is shown: ISO 8601 in UTC, to the second; as a number where the calendar ends."""
    try:
        return datetime.fromtimestamp(at_s, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    except (ValueError, OverflowError, OSError):
        return f"{at_s:g}"
