"""The foreman: starts the worker, starts it again whenever it dies, and passes on what is asked for."""

import logging
import os
import subprocess
import sys
import threading
from collections.abc import Collection
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from tracker.store.store import Store

RESTART_S = 1.0
"""How long after its death a worker is started again: one that dies at once must not keep the machine busy."""
MOST_ASKED = 100
"""So many uids are written to a pipe in one piece, so that no line is torn."""

ONE_CORE = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
"""Matrices as small as ours gain nothing from more cores, and the pages need one."""

_log = logging.getLogger(__name__)


class Foreman:
    """Keeps one worker at work for one collection from `start` to `stop`."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._stopping = threading.Event()
        self._changing = threading.Lock()
        self._worker: subprocess.Popen[bytes] | None = None
        self._watching = threading.Thread(target=self._watch, name="foreman", daemon=True)

    def start(self) -> None:
        """Start the worker, and from then on whenever there is none."""
        self._start_one()
        self._watching.start()

    def ask(self, _store: Store, _now: datetime, uids: Collection[str]) -> None:
        """Have these worked out first. The worker finds by itself whatever is lost on the way."""
        line, worker = " ".join([*uids][:MOST_ASKED]) + "\n", self._worker
        if uids and worker and worker.stdin:
            with suppress(OSError, ValueError):
                os.write(worker.stdin.fileno(), line.encode())

    def stop(self) -> None:
        """Stop the worker, whatever it is at."""
        with self._changing:
            self._stopping.set()
            if self._worker is not None:
                self._worker.terminate()
        self._watching.join()

    def _start_one(self) -> None:
        with self._changing:
            if not self._stopping.is_set():
                self._worker = _started(self._folder)

    def _watch(self) -> None:
        while not self._stopping.is_set():
            if self._worker is not None:
                ended = self._worker.wait()
                if self._stopping.is_set():
                    return
                _log.warning("The process that works out estimates ended (%s); it is started again.", ended)
            if not self._stopping.wait(RESTART_S):
                try:
                    self._start_one()
                except OSError:
                    _log.exception("The process that works out estimates could not be started.")


def _started(folder: Path) -> "subprocess.Popen[bytes]":
    worker = subprocess.Popen(  # noqa: S603 -- our own module
        [sys.executable, "-m", "tracker.estimating.worker", str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        env={**os.environ, **ONE_CORE},
        # Ctrl+C at the terminal is for the server, which stops its worker itself.
        start_new_session=True,
    )
    if worker.stdin:
        # A worker that does not read must not hold up a page.
        os.set_blocking(worker.stdin.fileno(), False)
    return worker
