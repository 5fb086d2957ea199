"""A broker of our own for those who have none: a child process, started again when it dies, with no promise over a restart."""

import logging
import subprocess
import sys
import threading
from pathlib import Path

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import LISTENER, READY, users_of
from tracker.errors import Unavailable
from tracker.words import say

HOST, PORT = "127.0.0.1", 1883
RESTART_S = 1.0

_log = logging.getLogger(__name__)


class OwnBroker:
    """Keeps one broker at work on this machine from `start` to `stop`."""

    def __init__(self, folder: Path, port: int = PORT) -> None:
        self._folder, self._port = folder, port
        self._stopping = threading.Event()
        self._changing = threading.Lock()
        self._child: subprocess.Popen[str] | None = None
        self._watching = threading.Thread(target=self._watch, name="broker", daemon=True)

    @property
    def settings(self) -> BrokerSettings:
        """How the listener gets in. It speaks 3.1.1 only."""
        password = users_of(self._folder)[LISTENER]
        return BrokerSettings(host=HOST, port=self._port, user=LISTENER, password=password, protocol="3.1.1")

    def start(self) -> None:
        """Start it, and from then on whenever there is none.

        Raises:
            Unavailable: it can't listen, most likely since another broker does.
        """
        users_of(self._folder)
        self._child, told = _started(self._folder, self._port)
        if told != READY:
            _reap(self._child)
            raise Unavailable(
                say(
                    "No broker could be started on port {port} ({why}). If one runs there already, name it in going.toml.",
                    port=self._port,
                    why=told or say("it ended at once"),
                )
            )
        self._watching.start()

    def stop(self) -> None:
        """Stop it."""
        with self._changing:
            self._stopping.set()
            if self._child is not None:
                self._child.terminate()
                _reap(self._child)
        if self._watching.is_alive():
            self._watching.join()

    def _watch(self) -> None:
        while self._child is not None:
            ended = self._child.wait()
            if self._stopping.is_set():
                return
            _reap(self._child)
            _log.warning("The broker ended (%s); it is started again, and what it held is lost.", ended)
            while not self._stopping.wait(RESTART_S):
                with self._changing:
                    if self._stopping.is_set():
                        return
                    self._child, told = _started(self._folder, self._port)
                if told == READY:
                    break
                _reap(self._child)


def _reap(child: "subprocess.Popen[str]") -> None:
    """Wait for its end and close what led to it."""
    child.wait()
    for pipe in (child.stdin, child.stdout):
        if pipe is not None:
            pipe.close()


def _started(folder: Path, port: int) -> "tuple[subprocess.Popen[str], str]":
    """A child, and the first thing it said."""
    child = subprocess.Popen(  # noqa: S603 -- our own module
        [sys.executable, "-m", "sensors.brokerchild", str(folder), HOST, str(port)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        # Ctrl+C at the terminal is for the server, which stops it itself.
        start_new_session=True,
    )
    told = child.stdout.readline().strip() if child.stdout else ""
    return child, told
