"""The helper: a second process that works a long line off from its end, until it meets the worker.

`python -m tracker.estimating.helper FOLDER`; it ends with its input, as its worker does.
"""

import gc
import logging
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tracker import clock, derive
from tracker.collection import FILE_NAME
from tracker.store.store import Store

MANY = 8
"""A line this long is worth a second process, where there is a second core."""
RUBBISH = 100_000
"""Objects made before rubbish is looked for: reading a long log makes them by the ten thousand, and none is rubbish."""
YIELDING = 10
"""How far it stands back for whoever asks for a page (as of nice)."""

_log = logging.getLogger(__name__)


@contextmanager
def helped(folder: Path, line: int) -> Iterator[None]:
    """Have a helper at work meanwhile if the line is long; it is stopped at the end, whatever it is at."""
    helper = _started(folder) if line >= MANY and (os.cpu_count() or 1) > 1 else None
    if helper is None:
        yield
        return
    with helper:
        yield
        helper.terminate()


def _started(folder: Path) -> "subprocess.Popen[bytes] | None":
    command = [sys.executable, "-m", "tracker.estimating.helper", str(folder)]
    try:
        return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)  # noqa: S603 -- our own module
    except OSError:
        # Too little memory for two: the worker gets there alone.
        _log.warning("No second process could be started for the estimates in line.", exc_info=True)
        return None


def _end_with_input() -> None:
    while os.read(sys.stdin.fileno(), 1):
        pass
    os._exit(0)


def main() -> None:
    """Work for the collection in the folder named, until nobody is in line."""
    os.nice(YIELDING)
    gc.set_threshold(RUBBISH)
    threading.Thread(target=_end_with_input, daemon=True).start()
    derive.catch_up(Store(Path(sys.argv[1]) / FILE_NAME), clock.now())


if __name__ == "__main__":
    main()
