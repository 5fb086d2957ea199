"""Waiting for what another thread or process brings about."""

import threading
from collections.abc import Callable

PATIENCE_S = 30.0
_LOOK_S = 0.05


def until(condition: Callable[[], bool]) -> None:
    """Look again and again until it is so; fails after half a minute."""
    waited = threading.Event()
    for _ in range(int(PATIENCE_S / _LOOK_S)):
        if condition():
            return
        waited.wait(_LOOK_S)
    raise AssertionError("it never came")
