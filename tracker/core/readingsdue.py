"""Which timing readings a bench still owes: after a service at full wind and after 24 h, and of a watch that came in."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Literal

from tracker.core.timing import Reading

Due = Literal["before service", "after service, at full wind", "after service, after 24 h"]

LATELY = timedelta(days=60)
"""A service longer ago is past reading for."""


def readings_due(
    readings: Iterable[Reading], service_at: datetime | None, now: datetime, *, came_in_at: datetime | None = None
) -> tuple[Due, ...]:
    """What is still to be read of one watch, in order.

    `service_at` is its newest service; `came_in_at` when a customer's watch came in, None for any other: until its
    service it is to be read once as it came.
    """
    held = [each for each in readings if each.programme_day is None]
    if service_at is not None and service_at >= now - LATELY and (came_in_at is None or service_at >= came_in_at):
        after = {each.state for each in held if each.occasion == "after service" and each.at >= service_at}
        wanted: tuple[tuple[Due, bool], ...] = (
            ("after service, at full wind", "full wind" not in after),
            ("after service, after 24 h", "after 24 h" not in after),
        )
        return tuple(due for due, missing in wanted if missing)
    if came_in_at is not None and not any(each.at >= came_in_at for each in held):
        return ("before service",)
    return ()
