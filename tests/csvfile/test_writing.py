"""What was written is read back as it was."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.collection import open_collection, owner
from tracker.commands.base import Command, Who
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.core.part import line_of
from tracker.core.timeline import Entry
from tracker.core.watch import Watch
from tracker.csvfile.importing import import_csv
from tracker.csvfile.writing import write_csv
from tracker.store import log, register, services
from tracker.store.store import Store
from tracker.uids import uid_of

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)


@contextmanager
def empty() -> Iterator[tuple[Store, Who]]:
    with TemporaryDirectory() as folder, closing(open_collection(Path(folder), NOW)) as store:
        yield store, owner(store, "file", NOW)


def watches(store: Store) -> list[Watch]:
    db = store.reading()
    found = [*register.watches(db), *register.watches(db, archived=True)]
    return [replace(watch, version=1) for watch in found]


def entries(store: Store) -> dict[str, list[Entry]]:
    logs = log.entries(store.reading(), [watch.uid for watch in watches(store)])
    return {uid: sorted(entries, key=lambda entry: entry.uid) for uid, entries in logs.items()}


def copied(store: Store, who: Who, target: Store) -> None:
    import_csv(target, write_csv(store.reading(), "watches", with_private=True).encode(), "watches", who)
    import_csv(target, write_csv(store.reading(), "log").encode(), "log", who)


def test_value_and_serial_are_left_out_unless_asked_for(store: Store, who: Who) -> None:
    submit(store, [RegisterWatch(nickname="Night ferry", value="a lot", serial="K-0815")], who)
    assert "K-0815" not in write_csv(store.reading(), "watches")
    assert "value" not in write_csv(store.reading(), "watches").splitlines()[0].split(",")
    assert "a lot,K-0815," in write_csv(store.reading(), "watches", with_private=True)


def test_a_time_is_written_on_the_clock_of_its_zone_with_the_offset(store: Store, who: Who) -> None:
    watch = RegisterWatch(nickname="Night ferry")
    at = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    submit(store, [watch, LogWind(watch_uid=watch.uid, at=at, zone="Europe/Berlin", within_min=2)], who)
    assert ",Night ferry,wind,2026-10-25T02:30:00+02:00,Europe/Berlin,2,full," in write_csv(store.reading(), "log")


def test_a_watch_goes_with_its_commas_quotes_and_lines(store: Store, who: Who) -> None:
    note = 'says "hm", then;\nstops'
    submit(store, [RegisterWatch(nickname="=Aunt's, travelling", note=note)], who)
    with empty() as (target, other):
        copied(store, other, target)
        assert [(watch.nickname, watch.note) for watch in watches(target)] == [("=Aunt's, travelling", note)]


def given_fields(fields: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value is not None}


def _of(words: Any) -> st.SearchStrategy[Any]:
    return st.sampled_from(words)


TEXT = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]) | _of("'=+-@\n,;\"")).map(str.strip)
LINE = TEXT.map(lambda text: " ".join(text.split())[:60].strip())
SHOWN = _of([None, "4:37", "12:00"])
COMMON = {
    "at": st.integers(0, 90_000_000).map(lambda seconds: NOW - timedelta(seconds=seconds)),
    "zone": _of(["Europe/Berlin", "Australia/Lord_Howe", "UTC"]),
    "within_min": _of([0.0, 2.0, 0.1, 180.0]),
    "note": TEXT,
}
ENTRIES: list[st.SearchStrategy[dict[str, Any]]] = [
    st.fixed_dictionaries(
        COMMON
        | {
            "kind": st.just(LogWind),
            "amount": _of(["full", "part", "unsure"]),
            "crown_turns": st.none() | st.floats(0.1, 60),
            "found": st.just("stopped"),
            "hands": _of(["set now", "not set", "unknown"]),
            "date_set": st.booleans(),
            "nothing_between": st.booleans(),
            "side_spring_used": st.booleans(),
            "shown": SHOWN,
            "shown_date": st.none() | st.integers(1, 31),
        }
    ),
    st.fixed_dictionaries(COMMON | {"kind": st.just(LogWind), "found": _of(["going", "not noticed"])}),
    st.fixed_dictionaries(COMMON | {"kind": st.just(LogSighting), "seen": _of(["stopped"]), "shown": SHOWN}),
    st.fixed_dictionaries(
        COMMON
        | {"kind": st.just(LogSighting), "seen": _of(["going", "not noticed"]), "indicator_reading": st.floats(0, 90)}
    ),
    st.fixed_dictionaries(COMMON | {"kind": st.just(LogWear), "act": _of(["put on", "laid down"])}),
    st.fixed_dictionaries(
        COMMON | {"kind": st.just(LogWinder), "act": st.just("on"), "turns_a_day": st.none() | st.floats(1, 2000)}
    ),
    st.fixed_dictionaries(COMMON | {"kind": st.just(LogWinder), "act": st.just("off")}),
    st.fixed_dictionaries(COMMON | {"kind": st.just(LogService), "work_done": TEXT, "done_by": LINE, "cost": LINE}),
]
WATCH = st.fixed_dictionaries(
    {
        "nickname": LINE.filter(bool),
        "wound_by": _of(["crown", "rotor only", "key"]),
        "stated_reserve_h": st.none() | st.floats(1, 800),
        "reserve_class": _of([None, "eight days"]),
        "dial_hours": _of([12, 24]),
        "date_window": st.booleans(),
        "looks_offered": st.booleans(),
        "winder_turns_a_day": st.none() | st.floats(1, 2000),
        "winder_way": _of([None, "both", "clockwise"]),
        "winder_pause_h": st.none() | st.floats(0.5, 48),
        "wear_fills_h": st.none() | st.floats(1, 40),
        "habit": st.just("on weekdays"),
        "habit_weekdays": _of([("Sun",), ("Mon", "Thu")]),
        "habit_every_days": _of([None, 3]),
        "place": LINE,
        "note": TEXT,
        "value": LINE,
        "serial": LINE,
    }
)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    st.lists(
        st.tuples(WATCH, st.booleans()), min_size=1, max_size=3, unique_by=lambda each: each[0]["nickname"].casefold()
    ),
    st.lists(st.one_of(ENTRIES), max_size=6),
)
def test_a_collection_comes_back_from_its_files(
    described: list[tuple[dict[str, Any], bool]], noted: list[dict[str, Any]]
) -> None:
    commands: list[Command] = []
    for number, (fields, archived) in enumerate(described):
        watch = RegisterWatch(uid=uid_of("watch", str(number)), indicator="hours", **given_fields(fields))
        commands += [watch, ArchiveWatch(watch_uid=watch.uid)] if archived else [watch]
    for number, entry in enumerate(noted):
        fields = given_fields(entry)
        kind = fields.pop("kind")
        of = uid_of("watch", str(number % len(described)))
        if kind is LogWinder and described[number % len(described)][0]["wound_by"] != "rotor only":
            continue
        commands.append(kind(uid=uid_of("entry", str(number)), watch_uid=of, **fields))
    with empty() as (store, who), empty() as (target, other):
        submit(store, commands, who)
        copied(store, other, target)
        assert watches(target) == watches(store)
        assert entries(target) == entries(store)
        assert write_csv(target.reading(), "log") == write_csv(store.reading(), "log")
        assert import_csv(store, write_csv(target.reading(), "log").encode(), "log", who).known == sum(
            map(len, entries(store).values())
        )


@pytest.mark.parametrize("private", [True, False])
def test_todays_export_changes_nothing_where_it_came_from(store: Store, who: Who, *, private: bool) -> None:
    submit(store, [RegisterWatch(nickname="Night ferry", value="a lot")], who)
    text = write_csv(store.reading(), "watches", with_private=private)
    assert import_csv(store, text.encode(), "watches", who).known == 1


def test_a_service_comes_back_with_its_parts_and_is_known_again(store: Store, who: Who) -> None:
    watch = RegisterWatch(nickname="Night ferry", job_number="W-1", came_in=date(2026, 11, 20), service_every_years=4)
    parts = ["mainspring: 1.3 × 0.115 × 350 > 1.3 × 0.11 × 360 × 11", "gasket; =blue, thin"]
    said = {
        "watch_uid": watch.uid,
        "at": NOW,
        "zone": "UTC",
        "occasion": "ran short",
        "lubricants": "thin oil",
        "parts": parts,
    }
    submit(store, [watch, LogService.model_validate(said)], who)
    with empty() as (target, other):
        copied(store, who=other, target=target)
        (row,) = services.services(target.reading())
        assert [line_of(part) for part in row["parts"]] == parts
        assert (row["occasion"], row["lubricants"]) == ("ran short", "thin oil")
        assert import_csv(target, write_csv(store.reading(), "log").encode(), "log", other).commands == []


def test_a_service_noted_before_parts_were_is_known_by_a_file_that_has_them(store: Store, who: Who) -> None:
    watch = RegisterWatch(nickname="Night ferry")
    submit(store, [watch, LogService(watch_uid=watch.uid, at=NOW, zone="UTC")], who)
    with store.change() as db:
        db.execute(
            "UPDATE command_log SET payload = json_remove(payload, '$.parts', '$.occasion') WHERE kind = 'LogService'"
        )
    assert import_csv(store, write_csv(store.reading(), "log").encode(), "log", who).commands == []
