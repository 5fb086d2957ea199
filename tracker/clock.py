"""The one place that asks what time it is."""

import time
from datetime import UTC, datetime


def now() -> datetime:
    """Wall-clock time, aware, in UTC."""
    return datetime.now(UTC)


def monotonic_s() -> float:
    """Seconds on a clock that no one sets; only differences mean anything."""
    return time.monotonic()
