"""The listener on a real broker while the disk, the file, the certificates or the broker's protocol stand in its way.

Whatever it is: it goes on, says so on the Sensors page and in the log, and loses nothing that was acknowledged.
"""

import logging
import shutil
import socket
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from sensors import link
from sensors.brokersettings import BrokerSettings
from sensors.listener import Listener
from tests.brokers import DURABLE, Broker, free_port, mosquitto, publish
from tests.certificates import authority, signed
from tests.patience import until
from tests.sensors.fulldisk import FULL, page
from tests.sensors.test_listener import add, kept, messages, minutes
from tests.smalldisk import on_a_small_disk
from tracker.listening import ROLE
from tracker.reminders.role import take_role
from tracker.store import store as storing
from tracker.store.sensed.migrations import FILE_NAME

pytestmark = [
    pytest.mark.broker,
    # After a handshake that failed paho leaves the socket to be closed by the collector of rubbish.
    pytest.mark.filterwarnings("ignore:unclosed <ssl.SSLSocket:ResourceWarning"),
]


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Broker]:
    with mosquitto(tmp_path / "broker", *DURABLE) as started:
        yield started


class Place:
    """A data folder with one sensor, `tray`, and whoever listens for it."""

    def __init__(self, folder: Path, now: datetime) -> None:
        self.folder, self._tray = folder, add(folder, now)
        self._started: list[Listener] = []
        self._role = take_role(folder, ROLE)

    def listen(self, settings: BrokerSettings) -> Listener:
        listener = Listener(self.folder, settings)
        self._started.append(listener)
        listener.start()
        return listener

    def kept(self) -> list[tuple[float, float]]:
        return kept(self.folder, self._tray)

    def says(self, sentence: str) -> bool:
        return sentence in page(self.folder)

    def stop(self) -> None:
        for listener in self._started:
            listener.stop()
        assert self._role is not None
        self._role.close()


@pytest.fixture
def place(tmp_path: Path, now: datetime) -> Iterator[Place]:
    found = Place(tmp_path, now)
    yield found
    found.stop()


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Callable[[int], None]:
    """Sets how many pages the file may have from now on: beyond, SQLite itself says that the disk is full."""
    opened: list[sqlite3.Connection] = []
    prepare, room = storing.prepare, [2**30]

    def limited(conn: sqlite3.Connection) -> None:
        prepare(conn)
        opened.append(conn)
        conn.execute(f"PRAGMA max_page_count = {room[0]}")

    def give(pages: int) -> None:
        room[0] = pages
        for conn in opened:
            with suppress(sqlite3.ProgrammingError):
                conn.execute(f"PRAGMA max_page_count = {pages}")

    monkeypatch.setattr(storing, "prepare", limited)
    return give


def test_a_full_disk_is_said_and_nothing_is_lost(
    place: Place,
    broker: Broker,
    disk: Callable[[int], None],
    caplog: pytest.LogCaptureFixture,
) -> None:
    listener = place.listen(broker.settings())
    until(lambda: listener.state.state == "listening")
    readings = minutes(1_200)
    publish(broker.port, messages(readings[:100]))
    until(lambda: place.kept() == readings[:100])
    disk(1)
    publish(broker.port, messages(readings[100:]))
    until(lambda: listener.state.why == FULL)
    until(lambda: place.says(f"But: {FULL}."))
    assert any(FULL in line for line in caplog.messages)
    broker.stop()
    until(lambda: listener.state.state == "away")
    broker.start()
    until(lambda: listener.state.why == FULL)
    disk(2**30)
    until(lambda: place.kept() == readings)
    until(lambda: listener.state.why == "")
    until(lambda: not place.says("But:"))


def test_a_disk_that_is_really_full_is_said_and_nothing_is_lost(tmp_path: Path, broker: Broker) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    if shutil.which("unshare") is None or on_a_small_disk(disk, "-c", "").returncode:
        pytest.skip("this machine lets no one mount a small disk")
    done = on_a_small_disk(disk, "-m", "tests.sensors.fulldisk", str(disk), str(broker.port))
    assert done.returncode == 0, done.stderr
    assert FULL in done.stderr


def test_a_file_locked_for_long_costs_neither_the_connection_nor_a_message(
    place: Place,
    broker: Broker,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    # As 10 s of waiting for the file are to 30 s between signs of life; and most messages have to wait at the broker.
    monkeypatch.setattr(storing, "BUSY_MS", 600)
    monkeypatch.setattr(link, "KEEPALIVE_S", 2)
    monkeypatch.setattr(link, "RECEIVE_MAXIMUM", 100)
    caplog.set_level(logging.INFO)
    listener = place.listen(broker.settings())
    until(lambda: listener.state.state == "listening")
    readings = minutes(1_200)
    with closing(sqlite3.connect(place.folder / FILE_NAME, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        publish(broker.port, messages(readings))
        until(lambda: "another program is writing to it" in listener.state.why)
        until(lambda: place.says("But: nothing can be written to sensors.db, another program is writing to it;"))
        threading.Event().wait(7.0)
        other.execute("ROLLBACK")
    until(lambda: place.kept() == readings)
    until(lambda: listener.state.why == "")
    until(lambda: not place.says("But:"))
    assert any("another program is writing to it" in line for line in caplog.messages)
    assert not any("away" in line for line in caplog.messages)


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """The authority of a house."""
    folder = tmp_path / "certificates"
    folder.mkdir()
    return authority(folder, "house")


@contextmanager
def encrypted(
    folder: Path, house: Path, *, stands_for: str = "IP:127.0.0.1", ask: bool = False
) -> Iterator[tuple[Broker, int]]:
    """A broker with a certificate of this house, that may ask for ours; and a port of it that is not encrypted."""
    own, key = signed(house, "broker", stands_for=stands_for)
    plain = free_port()
    lines = (
        f"cafile {house}",
        f"certfile {own}",
        f"keyfile {key}",
        f"require_certificate {str(ask).lower()}",
        f"listener {plain} 127.0.0.1",
    )
    with mosquitto(folder / "encrypted", *DURABLE, *lines) as broker:
        yield broker, plain


def test_over_tls_every_message_is_kept(place: Place, house: Path) -> None:
    with encrypted(place.folder, house) as (broker, plain):
        listener = place.listen(replace(broker.settings(), ca_file=house))
        until(lambda: listener.state.state == "listening")
        readings = minutes(1_200)
        publish(plain, messages(readings))
        until(lambda: place.kept() == readings)
        listener.stop()


def test_a_broker_that_our_authority_does_not_vouch_for_is_refused_in_plain_words(
    place: Place, house: Path, caplog: pytest.LogCaptureFixture
) -> None:
    readings = minutes(30)
    other = authority(house.parent, "other")
    with encrypted(place.folder, house) as (broker, plain):
        first = place.listen(replace(broker.settings(), ca_file=house))
        until(lambda: first.state.state == "listening")
        first.stop()
        wrong = place.listen(replace(broker.settings(), ca_file=other))
        until(lambda: wrong.state.state == "away")
        why = (
            f"the broker at 127.0.0.1:{broker.port} is not trusted: "
            "its certificate comes from no authority that is trusted here; see to ca_file"
        )
        assert wrong.state.why == why
        until(lambda: place.says(f": {why}. It is tried again and again."))
        assert any(why in line for line in caplog.messages)
        publish(plain, messages(readings))
        wrong.stop()
        assert place.kept() == []
        right = place.listen(replace(broker.settings(), ca_file=house))
        until(lambda: place.kept() == readings)
        right.stop()


@pytest.mark.parametrize(
    ("stands_for", "ask", "said"),
    [
        ("DNS:elsewhere.example", False, "is not trusted: its certificate is for another address than this"),
        ("IP:127.0.0.1", True, "the broker hangs up without an answer; it may want a certificate of ours, cert_file"),
    ],
)
def test_what_is_wrong_with_a_certificate_is_said(
    place: Place, house: Path, *, stands_for: str, ask: bool, said: str
) -> None:
    with encrypted(place.folder, house, stands_for=stands_for, ask=ask) as (broker, _):
        listener = place.listen(replace(broker.settings(), ca_file=house))
        until(lambda: listener.state.why.endswith(said))
        until(lambda: place.says(said))
        listener.stop()


def test_a_broker_that_asks_for_our_certificate_gets_it(place: Place, house: Path) -> None:
    own, key = signed(house, "listener", stands_for="DNS:listener")
    with encrypted(place.folder, house, ask=True) as (broker, _):
        listener = place.listen(replace(broker.settings(), ca_file=house, cert_file=own, key_file=key))
        until(lambda: listener.state.state == "listening")
        listener.stop()


UNKNOWN_PROTOCOL = b"\x20\x02\x00\x01"
"""CONNACK, unacceptable protocol version: MQTT 3.1.1, 3.2.2.3; the same bytes ask MQTT 5 for nothing more."""


class OnlyOld:
    """Stands before a broker and lets in MQTT 3.1.1 alone, as a broker does that knows no later one."""

    def __init__(self, broker: Broker, answer: bytes) -> None:
        self._port, self._answer = broker.port, answer
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._door.getsockname()[1])
        self.refused = 0
        self._lines: list[socket.socket] = []
        threading.Thread(target=self._open, daemon=True).start()

    def _open(self) -> None:
        with suppress(OSError):
            while True:
                self._let_in(self._door.accept()[0])

    def _let_in(self, guest: socket.socket) -> None:
        first = guest.recv(4096)
        # The level follows the fixed header, of 2 bytes while it is short, and the name "MQTT" with its length.
        if first[8] != 4:
            self.refused += 1
            guest.sendall(self._answer)
            guest.close()
            return
        host = socket.create_connection(("127.0.0.1", self._port))
        host.sendall(first)
        self._lines += [guest, host]
        for one, other in ((guest, host), (host, guest)):
            threading.Thread(target=self._pass_on, args=(one, other), daemon=True).start()

    @staticmethod
    def _pass_on(one: socket.socket, other: socket.socket) -> None:
        with suppress(OSError):
            while some := one.recv(65_536):
                other.sendall(some)
        for end in (one, other):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        for each in (self._door, *self._lines):
            each.close()


@pytest.mark.parametrize("answer", [UNKNOWN_PROTOCOL, b""], ids=["refuses", "hangs up"])
def test_a_broker_that_knows_no_mqtt_5_is_spoken_to_by_3_1_1(place: Place, broker: Broker, answer: bytes) -> None:
    with closing(OnlyOld(broker, answer)) as door:
        listener = place.listen(replace(broker.settings(), port=door.port))
        until(lambda: listener.state.state == "listening")
        assert (listener.state.protocol, door.refused) == ("3.1.1", 1)
        until(lambda: place.says(", by MQTT 3.1.1."))
        readings = minutes(1_200)
        publish(broker.port, messages(readings[:600]))
        until(lambda: place.kept() == readings[:600])
        broker.stop()
        until(lambda: listener.state.state == "away")
        broker.start()
        publish(broker.port, messages(readings[600:]))
        until(lambda: place.kept() == readings)
        assert listener.state.protocol == "3.1.1"
        listener.stop()


def test_one_who_asks_for_mqtt_5_alone_is_told_that_the_broker_refuses(place: Place, broker: Broker) -> None:
    with closing(OnlyOld(broker, UNKNOWN_PROTOCOL)) as door:
        listener = place.listen(replace(broker.settings("5"), port=door.port))
        until(lambda: listener.state.state == "away")
        assert listener.state.why == "the broker refuses: Unsupported protocol version"
        until(lambda: place.says("the broker refuses: Unsupported protocol version."))
        listener.stop()
