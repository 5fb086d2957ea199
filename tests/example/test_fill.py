from collections import Counter
from collections.abc import Sequence
from datetime import UTC, datetime
from functools import cache
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tracker.collection import open_collection
from tracker.commands.base import Command, EntryCommand, Who
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind
from tracker.commands.register import RegisterWatch
from tracker.core.rundown import History, RunDown, run_downs
from tracker.example.fill import commands, fill, lives, watch_uid
from tracker.example.life import Lived
from tracker.example.truth import truth
from tracker.store import log, register
from tracker.store.command_log import is_example
from tracker.store.store import Store
from tracker.store.writer import LOG_TABLES

NOW = datetime(2026, 11, 25, 7, 25, 40, tzinfo=UTC)
LONDON = "Europe/London"

WHENS = [
    (NOW, LONDON),
    (datetime(2026, 11, 25, 0, 0, tzinfo=UTC), LONDON),
    (datetime(2026, 3, 29, 1, 30, tzinfo=UTC), LONDON),
    (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), LONDON),
    (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), LONDON),
    (datetime(2028, 2, 29, 12, 0, tzinfo=UTC), LONDON),
    (datetime(2027, 1, 1, 0, 0, tzinfo=UTC), "Australia/Lord_Howe"),
    (datetime(2026, 7, 5, 18, 0, tzinfo=UTC), "Asia/Kolkata"),
    (datetime(2026, 7, 6, 5, 0, tzinfo=UTC), "Pacific/Auckland"),
    (datetime(2026, 7, 6, 3, 0, tzinfo=UTC), "America/St_Johns"),
]


@cache
def _lives(now: datetime, zone: str) -> dict[str, Lived]:
    return lives(now, ZoneInfo(zone))


def _entries(now: datetime, zone: str) -> Sequence[EntryCommand]:
    return [entry for life in _lives(now, zone).values() for entry in life.entries]


def _of_each_watch(entries: Sequence[EntryCommand]) -> dict[str, list[EntryCommand]]:
    return {
        uid: [entry for entry in entries if entry.watch_uid == uid] for uid in {entry.watch_uid for entry in entries}
    }


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Store:
    store = open_collection(tmp_path_factory.mktemp("example"), NOW)
    fill(store, NOW)
    return store


@pytest.fixture(scope="module")
def histories(filled: Store) -> dict[str, History]:
    watches = register.watches(filled.reading())
    entries = log.entries(filled.reading(), [watch.uid for watch in watches])
    return {watch.nickname: run_downs(watch, entries[watch.uid]) for watch in watches}


def _rows(store: Store) -> Counter[str]:
    tables = ("watch", *LOG_TABLES, "command_log")
    return Counter({table: store.reading().table(table).count for table in tables})


def test_every_command_is_taken(filled: Store) -> None:
    rows = _rows(filled)
    assert rows["watch"] == 14
    assert rows["command_log"] == sum(rows.values()) - rows["command_log"]
    assert 3_000 < rows["command_log"] < 7_000


def test_the_collection_is_known_for_an_example(filled: Store, store: Store) -> None:
    assert is_example(filled.reading())
    assert not is_example(store.reading())


def test_filling_again_changes_nothing(filled: Store) -> None:
    before = _rows(filled)
    fill(filled, NOW)
    assert _rows(filled) == before


def test_a_collection_of_somebody_is_not_filled(store: Store, who: Who, now: datetime) -> None:
    submit(store, [RegisterWatch(nickname="Mine")], who)
    fill(store, now)
    assert [watch.nickname for watch in register.watches(store.reading())] == ["Mine"]
    assert not is_example(store.reading())


def test_the_same_moment_gives_the_same_commands() -> None:
    first, again = (commands(NOW, ZoneInfo(LONDON)) for _ in range(2))
    assert [command.model_dump() for command in first] == [command.model_dump() for command in again]


def test_another_day_gives_another_past_of_the_same_watches() -> None:
    first, other = _entries(*WHENS[0]), _entries(*WHENS[5])
    assert not {entry.uid for entry in first} & {entry.uid for entry in other}
    assert {entry.watch_uid for entry in first} == {entry.watch_uid for entry in other}


@pytest.mark.parametrize(("now", "zone"), WHENS)
def test_nothing_lies_in_the_future_and_the_past_is_three_years_long(now: datetime, zone: str) -> None:
    entries = _entries(now, zone)
    assert max(entry.at for entry in entries) <= now
    assert 1_095 <= (now - min(entry.at for entry in entries if isinstance(entry, LogWind))).days <= 1_097
    assert 3_000 < len(entries) < 7_000


@pytest.mark.parametrize(("now", "zone"), WHENS)
def test_the_notes_of_a_watch_are_in_order_and_never_at_one_moment(now: datetime, zone: str) -> None:
    for entries in _of_each_watch(_entries(now, zone)).values():
        assert all(earlier.at < later.at for earlier, later in pairwise(entries))


@pytest.mark.parametrize(("now", "zone"), WHENS)
def test_every_uid_is_given_once(now: datetime, zone: str) -> None:
    uids = [entry.uid for entry in _entries(now, zone)]
    assert len(set(uids)) == len(uids)


def test_every_kind_of_note_occurs() -> None:
    entries = _entries(NOW, LONDON)
    winds = [entry for entry in entries if isinstance(entry, LogWind)]
    seen = {entry.seen for entry in entries if isinstance(entry, LogSighting)}
    assert {type(entry) for entry in entries} == {LogWind, LogSighting, LogWear, LogService}
    assert {wind.amount for wind in winds} == {"full", "part", "unsure"}
    assert {wind.found for wind in winds} == {"going", "stopped", "not noticed"}
    assert {wind.hands for wind in winds} == {"set now", "left", "not set", "unknown"}
    assert seen == {"going", "stopped", "stopped on purpose", "not noticed"}
    assert {entry.within_min for entry in entries} == {0, 20, 180}


def test_notes_that_are_not_the_rule_are_not_the_rule() -> None:
    winds = [entry for entry in _entries(NOW, LONDON) if isinstance(entry, LogWind)]
    parts = [wind for wind in winds if wind.amount != "full"]
    late = [wind for wind in winds if wind.within_min]
    unnoted = sum(life.unnoted for life in _lives(NOW, LONDON).values())
    assert 10 <= len(parts) <= 150
    assert 50 <= len(late) <= 500
    assert 1 <= unnoted <= 30


def test_hands_are_read_more_than_two_hundred_times() -> None:
    shown = [entry for entry in _entries(NOW, LONDON) if isinstance(entry, LogWind | LogSighting) and entry.shown]
    assert len(shown) > 200
    assert any(entry.shown_date for entry in shown)


def _submit(store: Store, given: Sequence[Command], now: datetime, zone: str) -> None:
    uid = register.owner_uid(store.reading())
    assert uid is not None
    submit(store, given, Who(person_uid=uid, origin="example", now=now, zone=zone))


def _wrong(run: RunDown, true_h: float) -> bool:
    # Notes are kept to the second.
    slack_h = 2 / 3600
    return not any(low - slack_h <= true_h <= high + slack_h for low, high in run.evidence.spans_h)


@pytest.mark.parametrize(("now", "zone"), [WHENS[0], WHENS[3], WHENS[6]])
def test_the_run_downs_hold_the_truth_but_for_forgotten_windings(now: datetime, zone: str, tmp_path: Path) -> None:
    store = open_collection(tmp_path, now)
    _submit(store, commands(now, ZoneInfo(zone)), now, zone)
    watches = register.watches(store.reading())
    entries = log.entries(store.reading(), [watch.uid for watch in watches])
    told = wrong = forgotten = 0
    for watch in watches:
        life, history = _lives(now, zone)[watch.nickname], run_downs(watch, entries[watch.uid])
        runs = [run for run in history.runs if run.evidence.spans_h and run.wind_uid in life.runs_h]
        told, forgotten = told + len(runs), forgotten + life.unnoted
        wrong += sum(_wrong(run, life.runs_h[run.wind_uid]) for run in runs)
    store.close()
    assert told > 2_500
    assert wrong <= forgotten <= 0.03 * told


def test_the_log_of_the_daily_winder_is_all_at_least(histories: dict[str, History]) -> None:
    kinds = Counter(run.evidence.kind for run in histories["Night ferry"].runs)
    assert set(kinds) == {"at_least", "none"}
    assert kinds["at_least"] > 900


def test_one_is_found_stopped_with_its_hands_read_again_and_again(histories: dict[str, History]) -> None:
    assert sum(run.evidence.kind == "one_of" for run in histories["Bar buoy"].runs) > 50


def test_hands_are_never_read_in_a_way_that_cannot_be(histories: dict[str, History]) -> None:
    assert sum(len(history.flaws) for history in histories.values()) == 0


def test_the_last_known_state_is_of_every_kind(histories: dict[str, History]) -> None:
    assert {history.last.state for history in histories.values()} == {"going", "stopped", "unknown"}
    current = [history.current for history in histories.values() if history.current]
    assert {run.amount for run in current} == {"full", "part", "unsure"}


def test_the_truth_names_every_watch(filled: Store) -> None:
    watches = register.watches(filled.reading())
    assert {watch.nickname for watch in watches} == set(truth(NOW))
    assert {watch.uid for watch in watches} == {watch_uid(nickname) for nickname in truth(NOW)}
