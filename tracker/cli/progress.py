"""How far the work is, told on a terminal while it lasts."""

import sys

from tracker.derive import Progress
from tracker.words import say

FEW = 3
"""So few are worked out before anyone wonders."""


def on_terminal() -> Progress | None:
    """What tells how many watches are worked out, where somebody looks on."""
    return _show if sys.stderr.isatty() else None


def _show(done: int, of: int) -> None:
    if of > FEW:
        told = say("Worked out: {done} of {of} watches", done=done, of=of)
        sys.stderr.write(told + ("\r" if done < of else "\n"))
        sys.stderr.flush()
