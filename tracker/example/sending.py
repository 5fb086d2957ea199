"""The example's sensors go on sending while it is served."""

import logging
import threading
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import SENSORS, users_of
from tracker import clock
from tracker.errors import Unavailable
from tracker.example.fill import lives
from tracker.example.seats import AHEAD, messages

AGAIN_S = 30.0

_log = logging.getLogger(__name__)


def begin(folder: Path, filled: datetime, zone: ZoneInfo, broker: BrokerSettings, running: ExitStack) -> None:
    """Send to the broker of our own in this folder, in a thread of its own, until `running` ends.

    `filled` and `zone` are those with which the example was filled: its watches go on from there as they would have.
    """
    settings = BrokerSettings(host=broker.host, port=broker.port, user=SENSORS, password=users_of(folder)[SENSORS])
    stopping = threading.Event()
    thread = threading.Thread(
        target=_send, args=(filled, zone, settings, stopping), name="simulated sensors", daemon=True
    )
    thread.start()
    running.callback(thread.join)
    running.callback(stopping.set)


def _send(filled: datetime, zone: ZoneInfo, settings: BrokerSettings, stopping: threading.Event) -> None:
    from sensors.simulated.publish import publish  # noqa: PLC0415 -- paho is needed only here

    told = lives(filled, zone)
    while not stopping.is_set():
        now = clock.now()
        try:
            publish(settings, messages(told, filled, now, now + AHEAD), stopping)
        except Unavailable as error:
            _log.warning("The simulated sensors can't send: %s", error.sentence)
        stopping.wait(AGAIN_S)
