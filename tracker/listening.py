"""Listening to sensors as part of a long-running program: the broker of our own if it is asked for, then the listener."""

import logging
import signal
import sys
import threading
from contextlib import ExitStack
from pathlib import Path
from types import FrameType
from typing import IO, TYPE_CHECKING

from tracker import clock
from tracker.brokerconfig import broker_settings
from tracker.collection import open_collection
from tracker.errors import BadInput, Conflict
from tracker.reminders.role import take_role
from tracker.store.store import Store
from tracker.words import say

if TYPE_CHECKING:
    from sensors.brokersettings import BrokerSettings

ROLE = "listening"
AGAIN_S = 0.1

_log = logging.getLogger(__name__)


def tell_states(store: Store, settings: "BrokerSettings", running: ExitStack) -> None:
    """Keep the state of each watch at the broker, while the owner has that switched on."""
    from sensors.publisher import Publisher  # noqa: PLC0415 -- as below
    from tracker.outbound import Outbound  # noqa: PLC0415 -- as below

    publisher = Publisher(settings)
    running.callback(publisher.close)
    outbound = Outbound(store, settings.prefix, publisher.send, clock.now)
    running.callback(outbound.stop)
    outbound.start()


def begin(folder: Path, running: ExitStack, own_broker_port: int | None) -> "BrokerSettings | None":
    """Begin to listen to the broker that is named, or to one of our own; returns which, None if none is named.

    What is begun is put on `running`, which ends it in reverse.

    Raises:
        Conflict: another process listens for this collection.
        Unavailable: our own broker can't be started, or going.toml can't be read.
        BadInput: going.toml holds what can't be taken.
    """
    from sensors.broker import OwnBroker  # noqa: PLC0415 -- most collections have no sensors
    from sensors.listener import Listener  # noqa: PLC0415 -- as above

    settings = broker_settings(folder) if own_broker_port is None else None
    if settings is None and own_broker_port is None:
        return None
    role = _taken(folder)
    if role is None:
        raise Conflict(say("Another process listens to the sensors of this collection already."))
    running.callback(role.close)
    if own_broker_port is not None:
        broker = OwnBroker(folder, own_broker_port)
        broker.start()
        running.callback(broker.stop)
        settings = broker.settings
    assert settings is not None  # noqa: S101 -- one of the two was there
    listener = Listener(folder, settings)
    listener.start()
    running.callback(listener.stop)
    return settings


def _taken(folder: Path) -> "IO[str] | None":
    """The role; asked for twice, since a page may be looking just now whether it is held."""
    role = take_role(folder, ROLE)
    if role is None:
        threading.Event().wait(AGAIN_S)
        role = take_role(folder, ROLE)
    return role


def listen(folder: Path, own_broker_port: int | None) -> None:
    """Listen until told to stop, and do nothing else.

    Raises:
        BadInput: no broker is named. Also as `begin`.
    """
    open_collection(folder, clock.now()).close()
    told = threading.Event()

    def leave(_number: int, _frame: FrameType | None) -> None:
        told.set()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, leave)
    logging.basicConfig(level=logging.INFO, format="%(message)s", stream=sys.stderr)
    with ExitStack() as running:
        if begin(folder, running, own_broker_port) is None:
            raise BadInput(
                say("No broker is named."),
                accepted=say(
                    'Write [mqtt] and host = "…" into going.toml in {folder}, or give --broker.', folder=folder
                ),
            )
        told.wait()
