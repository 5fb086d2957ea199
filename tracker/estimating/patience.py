"""How long a page waits for what is being worked out: hardly at all."""

import time
from collections.abc import Collection
from datetime import datetime

from tracker import clock, derive
from tracker.commands.door import Then
from tracker.derive import Line
from tracker.store.store import Store

LONGEST_S = 0.2
LOOK_S = 0.002
FEW = 3
"""Of more than these, most would not be ready in time: nobody waits for them."""


def wait_for(
    store: Store,
    now: datetime,
    then: Then,
    watch_uids: Collection[str] | None = None,
    *,
    longest_s: float = LONGEST_S,
) -> Line:
    """Have these watches (or all) worked out first, and wait a moment for them; gives what is in line after that."""
    waiting = derive.line(store.reading(), now)
    asked = [uid for uid in waiting.missed if watch_uids is None or uid in watch_uids]
    if not asked:
        return waiting
    then(store, now, asked)
    until = clock.monotonic_s() + (longest_s if len(asked) <= FEW else 0.0)
    while derive.line(store.reading(), now, asked).missed and clock.monotonic_s() < until:
        time.sleep(LOOK_S)
    return derive.line(store.reading(), now)
