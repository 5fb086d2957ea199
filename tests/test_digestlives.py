"""Random lives of a small collection at the bell: entries, undo, absences, other rounds, clocks that step."""

from collections import Counter
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.belled import Bell, give, kept, wind
from tests.web.rounds import HOUR, NOW
from tracker import runs
from tracker.collection import open_collection, owner
from tracker.commands.absence import KeepAbsence
from tracker.commands.base import Command
from tracker.commands.door import submit
from tracker.commands.log import LogSighting
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.errors import GoingError
from tracker.reminders.roundbox import newest_windings
from tracker.store.absences import is_away
from tracker.store.rows import all_rows
from tracker.store.store import Store

MINUTES = st.sampled_from([5, 40, 130, 300, 720, 1440, -60, -120])
ACTS = st.sampled_from(["nothing", "wind one", "wind all", "see one", "undo", "leave", "zone", "rounds"])
LIVES = st.lists(st.tuples(ACTS, MINUTES), min_size=3, max_size=10)


def act(store: Store, uids: list[str], what: str, bell: Bell, batches: list[str]) -> None:
    """Do something as its owner would, as far as it can be done; `batches` are those that undo may take back."""
    now, turn = bell.looked or NOW, len(bell.told)
    one = uids[turn % len(uids)]
    other = ("Europe/London", "America/New_York", "Australia/Lord_Howe")[turn % 3]
    commands: dict[str, list[Command]] = {
        "wind one": [wind(one, now)],
        "wind all": [wind(uid, now) for uid in uids],
        "see one": [LogSighting(watch_uid=one, at=now, zone="UTC", seen="going")],
        "undo": [Undo(batch=batches.pop())] if batches else [],
        "leave": [KeepAbsence(leave=now + HOUR, back=now + 30 * HOUR)],
        "zone": [ChangeSettings(zone=other)],
        "rounds": [
            ChangeSettings(zone="UTC", rounds_on_weekdays=("07:30", "21:00"), quiet_from="22:00", quiet_to="07:00")
        ],
    }
    try:
        if commands.get(what):
            done = submit(store, commands[what], owner(store, "page", now))
            batches += [] if what == "undo" else [done.batch]
    except GoingError:
        assert what in {"undo", "leave"}, "nothing else is ever refused here"


def check(store: Store, bell: Bell, before: int) -> None:
    """No two open for one reason, no key twice, nothing told while away, nobody told to wind what was wound."""
    rows = all_rows(store.reading(), "SELECT * FROM reminder WHERE state IN ('planned', 'due')")
    reasons = Counter((row["kind"], row["subject_uid"], row["episode"]) for row in rows)
    assert all(count == 1 for count in reasons.values())
    assert all(count == 1 for count in Counter(message.key for message in bell.told).values())
    assert bell.looked is not None
    assert len(bell.told) == before or not is_away(store.reading(), bell.looked)
    names = {row["uid"]: row["nickname"] for row in all_rows(store.reading(), "SELECT * FROM watch")}
    wound = newest_windings(store.reading(), names)
    just = {names[uid] for uid, each in wound.items() if each is not None and each.at == bell.looked}
    assert not any(name in message.title for name in just for message in bell.told[before:])


@settings(max_examples=10, deadline=None)
@given(LIVES)
def test_no_life_is_told_anything_twice_or_what_is_not_so(life: list[tuple[str, int]]) -> None:
    with TemporaryDirectory() as folder, closing(open_collection(Path(folder), NOW)) as store:
        give(store, NOW, ChangeSettings(zone="UTC"))
        uids = [kept(store, name, NOW - 20 * HOUR) for name in ("Night ferry", "Pier")]
        give(store, NOW, RegisterWatch(nickname="Boathouse", habit="at rest", habit_every_days=2))
        bell, batches = Bell(store), list[str]()
        bell.ring(NOW)
        for what, minutes in life:
            act(store, uids, what, bell, batches)
            before, at_once = len(bell.told), bell.looked or NOW
            runs.judge(store, at_once)
            bell.ring(at_once)
            check(store, bell, before)
            bell.ring(max(NOW, at_once + timedelta(minutes=minutes)))
