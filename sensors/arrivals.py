"""When messages came, and which of them had waited somewhere on the way: without a stamp, their time is not known."""

import math

from sensors.rest import GAP_INTERVALS


class Arrivals:
    """The last arrival of each sensor's messages.

    Whatever connects again after a silence hands over what it kept meanwhile, in quick succession. So after our own
    connection, and after a gap, messages that come faster than half the expected interval are taken to have been queued,
    until one comes at its time or a gap's length has passed (else a sensor faster than it was set up would never count).
    """

    def __init__(self) -> None:
        self._connected_s = -math.inf
        self._last: dict[str, float] = {}
        self._since: dict[str, float] = {}

    def connected(self, at_s: float) -> None:
        """The broker lets us in, at this moment (seconds since 1970): whatever it kept for us comes now."""
        self._connected_s = at_s

    def queued(self, sensor_uid: str, expected_s: float, arrived_s: float) -> bool:
        """Whether this message waited somewhere; asked once for each, in the order of arrival."""
        gap_s = GAP_INTERVALS * expected_s
        before_s = self._last.get(sensor_uid, -math.inf)
        self._last[sensor_uid] = arrived_s
        if before_s < self._connected_s:
            before_s = self._since[sensor_uid] = self._connected_s
        elif arrived_s - before_s > gap_s:
            self._since[sensor_uid] = arrived_s
        since_s = self._since.get(sensor_uid)
        if since_s is None:
            return False
        if arrived_s - before_s >= expected_s / 2.0 or arrived_s - since_s > gap_s:
            if arrived_s != since_s:
                del self._since[sensor_uid]
            return False
        return True
