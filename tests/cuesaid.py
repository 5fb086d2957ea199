"""A cue that was said, for tests that need one without the years of runs that raise it."""

from datetime import UTC, datetime

from tracker.core.cue import Cue, Turn
from tracker.core.spread import Band
from tracker.reminders.cuefacts import CueFacts
from tracker.store.cues import write_turn
from tracker.store.store import Store

SAID = CueFacts(
    nickname="Dora", step="keep an eye", reason="fallen", probability=0.8, lost=Band(0.08, 0.12, 0.16), stops=5, going=9,
    since=datetime(2024, 5, 1, tzinfo=UTC), serviced=False, threshold=0.1, least_h=None, interval_years=None, model="1",
)  # fmt: skip


def say_cue(store: Store, watch_uid: str, now: datetime) -> None:
    """Keep a cue of this watch as if it had been raised now."""
    with store.change() as db:
        write_turn(db, watch_uid, None, Turn("raised", Cue(step="keep an eye")), now=now, facts=SAID.to_dict())
