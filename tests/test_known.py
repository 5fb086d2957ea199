"""What was worked out before: whether it still holds, and that it reads back as it was written."""

import json
from datetime import date, datetime, timedelta

import pytest

from tracker import workedout
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogSighting, LogWind
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.core.reserve import MODEL_VERSION
from tracker.errors import NotFound
from tracker.known import Answer, Freshness, Memory, freshness, histories, memory_of
from tracker.store import register
from tracker.store.estimates import Key, Stored
from tracker.store.store import Store
from tracker.uids import uid_of

TODAY = date(2026, 11, 25)
MODEL = str(MODEL_VERSION)


def stored(*, counter: int = 5, model: str = MODEL, day: str = "2026-11-25", threshold: float = 0.1) -> Key:
    return Key(counter, model, day, threshold)


@pytest.mark.parametrize(
    ("cached", "found"),
    [
        (None, "none"),
        (Stored(stored(model="0"), at_rest=True), "none"),
        (Stored(stored(), at_rest=True), "holds"),
        (Stored(stored(counter=4), at_rest=True), "behind"),
        (Stored(stored(threshold=0.2), at_rest=False), "behind"),
        (Stored(stored(day="2026-11-24"), at_rest=True), "aged"),
        (Stored(stored(day="2026-11-26"), at_rest=True), "aged"),
        (Stored(stored(day="2026-11-17"), at_rest=True), "behind"),
        (Stored(stored(day="2026-11-17"), at_rest=False), "holds"),
    ],
)
def test_what_is_cached_holds_for_one_log_one_model_one_threshold_and_at_rest_one_day(
    cached: Stored | None, found: Freshness
) -> None:
    assert freshness(cached, 5, TODAY, 0.1) == found


def given(store: Store, who: Who) -> RegisterWatch:
    """A watch with a service, a stop read off its hands, and a run that began with its hands set."""
    watch = RegisterWatch(nickname="Night ferry", stated_reserve_h=42, habit="keep going", date_window=True)

    def at(hours: float) -> datetime:
        return who.now - timedelta(hours=hours)

    entries = [
        LogService(watch_uid=watch.uid, at=at(2000), zone="UTC"),
        LogWind(watch_uid=watch.uid, at=at(200), zone="UTC", hands="set now", date_set=True),
        LogSighting(watch_uid=watch.uid, at=at(120), zone="UTC", seen="stopped", shown="4:37"),
        LogWind(watch_uid=watch.uid, at=at(20), zone="Europe/Berlin", hands="set now", date_set=True),
        LogSighting(watch_uid=watch.uid, at=at(2), zone="UTC", seen="going"),
    ]
    submit(store, [watch, *entries], who)
    return watch


def test_an_answer_reads_back_as_it_was_written(store: Store, who: Who) -> None:
    worked = workedout.work_out(store.reading(), given(store, who).uid, who.now)
    assert worked is not None
    assert worked.answer.present is not None
    assert worked.answer.present.history.current is not None
    assert worked.answer.present.history.current.hands is not None
    assert Answer.from_dict(json.loads(json.dumps(worked.answer.to_dict()))) == worked.answer


def test_what_could_not_be_worked_out_reads_back_too() -> None:
    failed = Answer(None, None, at_rest=True)
    assert Answer.from_dict(json.loads(json.dumps(failed.to_dict()))) == failed


def test_a_log_read_inside_a_change_is_not_remembered(store: Store, who: Who) -> None:
    watch, memory = given(store, who), Memory()
    with store.change() as db:
        counters = register.log_counters(db)
        histories(db, register.watches(db), counters, memory, {})
        assert memory == Memory()
    found = histories(store.reading(), register.watches(store.reading()), counters, memory, memory.histories)
    assert memory.histories[watch.uid] == (counters[watch.uid], found[watch.uid])


def test_a_log_read_inside_a_change_is_remembered_once_the_change_is_kept(store: Store, who: Who) -> None:
    watch = given(store, who)
    with pytest.raises(NotFound):
        submit(
            store,
            [
                LogSighting(watch_uid=watch.uid, at=who.now, zone="UTC", seen="going"),
                ArchiveWatch(watch_uid=uid_of("none")),
            ],
            who,
        )
    before = memory_of(store).histories.get(watch.uid)
    submit(store, [LogSighting(watch_uid=watch.uid, at=who.now, zone="UTC", seen="going")], who, then=lambda *_: None)
    counter, history = memory_of(store).histories[watch.uid]
    assert counter == register.log_counters(store.reading())[watch.uid]
    assert (counter, history) != before
    (now_there,) = register.watches(store.reading())
    assert history == histories(store.reading(), [now_there], {watch.uid: counter}, Memory(), {})[watch.uid]
