"""The long-running program: the file, the worker, the bell and the pages, started in this order, stopped in reverse."""

import errno
import shutil
import signal
import socket
import sys
from collections.abc import Callable, Collection, Sequence
from contextlib import ExitStack
from datetime import datetime
from functools import partial
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tracker import clock, welcome
from tracker.collection import FILE_NAME, open_collection, preferences
from tracker.errors import BadInput, GoingError, Unavailable
from tracker.reach import Reach, is_loopback
from tracker.store import people
from tracker.store.store import Store
from tracker.words import say

if TYPE_CHECKING:
    from waitress.server import BaseWSGIServer

    from sensors.brokersettings import BrokerSettings

    Beside = Callable[[BrokerSettings, ExitStack], None]

LIMITS: dict[str, Any] = {
    "threads": 4,
    "ident": None,
    "connection_limit": 200,
    "channel_timeout": 60,  # seconds of silence after which a connection is closed
    "cleanup_interval": 10,
    "max_request_header_size": 32_768,
    "max_request_body_size": 128_000_000,  # pages set their own, far below
    "clear_untrusted_proxy_headers": False,  # web/proxied.py does, and remembers that they were there
}
"""What one client may take of the server, so that something is left for the others."""
EXAMPLE_MARK = "this-is-the-example"


def serve(folder: Path, reach: Reach, *, port: int, own_broker_port: int | None = None) -> None:
    """Serve the collection in this folder until told to stop; with a broker of our own on a port of this machine, if asked.

    Raises:
        BadInput: it can be reached from elsewhere, and no owner has a password.
        Unavailable: the port is taken, or the collection can't be opened.
    """
    store = open_collection(folder, clock.now())
    try:
        refuse_open_door(store, reach)
    except BaseException:
        store.close()
        raise
    _run(store, reach, port, own_broker_port)


def serve_example(folder: Path, *, host: str, port: int, reset: bool) -> None:
    """Serve the example collection, filling it on the first start; `reset` throws away what was there and fills it anew.

    Raises:
        BadInput: the folder holds a collection that is not the example.
        Unavailable: as `serve`.
    """
    from tracker.example.fill import fill  # noqa: PLC0415 -- only the example needs it
    from tracker.example.seats import fill_sensors  # noqa: PLC0415 -- as above

    check_loopback(host)
    _check_free(host, port)
    _make_room(folder, reset=reset)
    store = open_collection(folder, clock.now())
    mark = folder / EXAMPLE_MARK
    if not mark.exists():
        _tell(say("Filling the example collection: three simulated years of fifteen watches …"))
        now = clock.now()
        fill(store, now, then=_leave_to_the_worker)
        fill_sensors(store, now, then=_leave_to_the_worker)
        mark.write_text(f"{now.isoformat()} {preferences(store).zone.key}")
    _run(store, Reach((host,)), port, _free_port(), _sending(mark))


def _sending(mark: Path) -> "Beside | None":
    """What lets the example's sensors go on; None where it was filled by a version that knew none."""
    from tracker.example import sending  # noqa: PLC0415 -- only the example needs it

    filled, _, zone = mark.read_text().partition(" ")
    return partial(sending.begin, mark.parent, datetime.fromisoformat(filled), ZoneInfo(zone)) if filled else None


def _free_port() -> int:
    """For the example's broker: the usual one may well be taken."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _make_room(folder: Path, *, reset: bool) -> None:
    file, ours = folder / FILE_NAME, (folder / EXAMPLE_MARK).exists()
    if file.exists() and not ours and _holds_something(file):
        raise BadInput(
            say("{folder} holds a collection that is not the example; it was left alone.", folder=folder),
            accepted=say("Name another folder with --data."),
        )
    if file.exists() and (reset or not ours):
        shutil.rmtree(folder)


def _holds_something(file: Path) -> bool:
    """Whether anyone but the example ever wrote here; a start that was broken off half way leaves nothing of worth."""
    from tracker.store.command_log import holds_own_entries  # noqa: PLC0415 -- asked only where a file is in the way

    store = Store(file)
    try:
        store.prepare()
        return holds_own_entries(store.reading())
    finally:
        store.close()


def check_loopback(host: str) -> None:
    """The example is for this machine alone: it has no people and no passwords.

    Raises:
        BadInput: the address is reached from others.
    """
    if not is_loopback(host):
        raise BadInput(
            say("{host} can be reached from other machines, and the example asks for no password.", host=host),
            field="host",
            accepted=say("Only 127.0.0.1 is served."),
        )


def refuse_open_door(store: Store, reach: Reach) -> None:
    """Without a password nothing is served to other machines.

    Raises:
        BadInput: it would be.
    """
    if reach.logs_in and not people.anyone_can_log_in(store.reading()):
        raise BadInput(
            say("These pages could be reached from other machines, and no owner has a password yet."),
            accepted=say("Set one: going password"),
        )


def _run(store: Store, reach: Reach, port: int, own_broker_port: int | None, beside: "Beside | None" = None) -> None:
    from tracker.estimating.foreman import Foreman  # noqa: PLC0415 -- only the server has a worker
    from tracker.reminders.scheduler import Bell  # noqa: PLC0415 -- APScheduler is needed only here
    from tracker.web.app import create_app  # noqa: PLC0415 -- Flask is needed only here
    from tracker.web.broker import Known  # noqa: PLC0415 -- as above

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, _leave)
    # Stopped in reverse.
    with ExitStack() as running:
        running.callback(store.close)
        foreman = Foreman(store.path.parent)
        running.callback(foreman.stop)
        foreman.start()
        bell = Bell(store, before=_look)
        running.callback(bell.stop)
        bell.start()
        heard_by = _listen(store, running, own_broker_port)
        if beside is not None and heard_by is not None:
            beside(heard_by, running)
        broker = Known(heard_by, own=own_broker_port is not None)
        app = create_app(store, last_bell=bell.last_rung, then=foreman.ask, broker=broker, reach=reach)
        sockets = listening_at(reach.hosts, port)
        server = _server(app, sockets)
        running.callback(server.close)
        welcome.tell(reach, sockets[0].getsockname()[1], _tell)
        if broker.own and heard_by is not None:
            where = f"{heard_by.host}:{heard_by.port}"
            _tell(say("Its broker for sensors is at {where}; the page Sensors tells how they get in.", where=where))
        server.run()


def _look(store: Store, now: datetime, looked: datetime | None) -> None:
    """What is told, or kept safe, without an entry in any log."""
    from tracker import digests, runs, winders  # noqa: PLC0415 -- as the bell
    from tracker.backup import daily  # noqa: PLC0415 -- as the bell

    if not (store.path.parent / EXAMPLE_MARK).exists():
        daily.begin(store, now)
    digests.judge(store, now, looked)
    runs.judge(store, now)
    winders.judge(store, now)


def _listen(store: Store, running: ExitStack, own_broker_port: int | None) -> "BrokerSettings | None":
    """Listen to sensors, if there is a broker to listen to; what stands in the way must not keep the pages from being served."""
    from tracker import listening  # noqa: PLC0415 -- needed only here

    try:
        settings = listening.begin(store.path.parent, running, own_broker_port)
    except GoingError as error:
        _tell(say("No sensor is listened to: {why}", why=error.sentence))
        return None
    if settings is not None:
        listening.tell_states(store, settings, running)
    return settings


def _check_free(host: str, port: int) -> None:
    """Tell of a taken port before anything is filled; whoever takes it meanwhile is told of by `_server`."""
    with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise _taken(port, error) from error


def _taken(port: int, error: OSError) -> Unavailable:
    if error.errno == errno.EADDRINUSE:
        return Unavailable(
            say(
                "Port {port} is taken by another program. Choose another: PORT={other} or --port {other}.",
                port=port,
                other=port + 1,
            )
        )
    return Unavailable(say("Port {port} can't be used: {why}.", port=port, why=error))


def listening_at(hosts: Sequence[str], port: int) -> list[socket.socket]:
    """A socket for each address, all on one port; for port 0 the first one free.

    Raises:
        Unavailable: the port is taken, or the address is not this machine's.
    """
    found = list[socket.socket]()
    for host in hosts:
        made = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.append(made)
        try:
            made.bind(("127.0.0.1" if host == "localhost" else host, port))
        except OSError as error:
            for each in found:
                each.close()
            raise _taken(port, error) from error
        port = made.getsockname()[1]
    return found


def _server(app: object, sockets: Sequence[socket.socket]) -> "BaseWSGIServer":
    from waitress import create_server  # noqa: PLC0415 -- only the pages need it

    return create_server(app, sockets=list(sockets), **LIMITS)


def _leave_to_the_worker(_store: Store, _now: datetime, _uids: Collection[str]) -> None:
    """The first page is worth more than its figures: it tells how far they are."""


def _leave(_number: int, _frame: FrameType | None) -> None:
    raise SystemExit(0)


def _tell(sentence: str) -> None:
    sys.stdout.write(f"{sentence}\n")
    sys.stdout.flush()
