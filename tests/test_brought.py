from tests.web.rounds import NOW, register
from tracker.brought import told
from tracker.commands.log import LogWear, VoidEntry
from tracker.store.store import Store
from tracker.uids import uid_of


def test_what_was_laid_down_is_named_and_what_was_taken_out_is_not(store: Store) -> None:
    uids = [register(store, "Night ferry"), register(store, "Tide table")]
    down = [LogWear(watch_uid=uid, at=NOW, zone="UTC", act="laid down") for uid in uids]
    assert (
        told(store.reading(), [VoidEntry(entry_uid=uid_of("one")), *down])
        == "Laid down for it: Night ferry, Tide table."
    )
    assert told(store.reading(), []) == ""
