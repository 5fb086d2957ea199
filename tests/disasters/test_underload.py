"""A server killed again and again under load: whatever was answered is there, once, and what was not can be sent again."""

import os
import random
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from tests.disasters.underload import Taps, killed_under_load, sent_again
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.store.copies import flaws
from tracker.store.log import entry_rows

ROUNDS = int(os.environ.get("GOING_EXAMPLES", "1"))


def _seen(folder: Path, uid: str) -> int:
    with closing(open_collection(folder, datetime.now(UTC))) as store:
        return len(entry_rows(store.reading(), uid))


def test_what_was_answered_is_kept_through_any_kill_and_never_doubled(tmp_path: Path) -> None:
    now = datetime.now(UTC)
    with closing(open_collection(tmp_path, now)) as store:
        watch = RegisterWatch(nickname="Night ferry")
        submit(store, [watch], owner(store, "page", now))
    taps = Taps()
    for number in range(min(ROUNDS, 100)):
        killed_under_load(tmp_path, watch.uid, random.Random(number), taps)
        assert not flaws(tmp_path / "going.db")
        assert len(taps.answered) <= _seen(tmp_path, watch.uid) <= len(taps.sent)
    assert len(taps.answered) >= 2
    sent_again(tmp_path, watch.uid, taps)
    assert _seen(tmp_path, watch.uid) == len(taps.sent)
