"""Whatever is typed, whatever is done in whichever order."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.thorough import THOROUGH
from tracker.collection import open_collection, owner
from tracker.commands.base import Command, Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.fields import EARLIEST_YEAR
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.commands.undo import Undo
from tracker.errors import GoingError, NotFound, Rejected
from tracker.store.log import entry_rows
from tracker.store.moments import from_text, to_text
from tracker.store.register import watches
from tracker.store.store import Store
from tracker.uids import uid_of

WATCHES = [uid_of("watch", str(i)) for i in range(3)]
ENTRIES = [uid_of("entry", str(i)) for i in range(4)]
OTHERS = [uid_of("other", str(i)) for i in range(4)]
DAYS = [f"2026-11-{day}T07:00Z" for day in (20, 21, 22)]


@dataclass(frozen=True, repr=False)
class Empty:
    """A new collection as bytes: a store of it costs no disk."""

    image: bytes
    who: Who


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Empty:
    now = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
    opened = open_collection(tmp_path_factory.mktemp("image"), now)
    who = owner(opened, "page", now)
    opened.close()
    conn = sqlite3.connect(opened.path)
    conn.execute("PRAGMA journal_mode = DELETE")
    conn.close()
    return Empty(opened.path.read_bytes(), who)


@contextmanager
def _in_memory(image: bytes) -> Iterator[Store]:
    def connect(_: Path) -> sqlite3.Connection:
        conn = sqlite3.connect(":memory:", check_same_thread=False)
        conn.deserialize(image)
        conn.execute("PRAGMA foreign_keys = ON")
        return conn

    store = Store(Path("going.db"), connect=connect)
    try:
        yield store
    finally:
        store.close()


def _kind(kind: str, **fields: st.SearchStrategy[Any]) -> st.SearchStrategy[Command]:
    return st.fixed_dictionaries(fields).map(lambda values: build(COMMANDS[kind], values))


_watch, _nickname = st.sampled_from(WATCHES), st.sampled_from(["Anna", "ANNA", "Berta", "Zoë", "zoë"])
_of_watch = {"watch_uid": _watch, "at": st.sampled_from(DAYS), "zone": st.just("Europe/Berlin")}
_entry = {"uid": st.sampled_from(ENTRIES), **_of_watch, "replaces": st.none() | st.sampled_from(ENTRIES)}
_habit = st.sampled_from(["when worn", "keep going"])
_uid = st.sampled_from(OTHERS)

_commands = st.one_of(
    _kind("RegisterWatch", uid=_watch, nickname=_nickname, wound_by=st.sampled_from(["crown", "rotor only"])),
    _kind("EditWatch", watch_uid=_watch, nickname=_nickname, habit=_habit),
    _kind("ArchiveWatch", watch_uid=_watch),
    _kind("BringBackWatch", watch_uid=_watch),
    _kind("LogWind", **_entry, found=st.sampled_from(["going", "stopped"]), hands=st.just("set now")),
    _kind("LogSighting", **_entry, seen=st.sampled_from(["going", "stopped"])),
    _kind("LogWear", **_entry, act=st.sampled_from(["put on", "laid down"])),
    _kind("LogWinder", **_entry, act=st.sampled_from(["on", "off"])),
    _kind("LogService", **_entry),
    _kind("VoidEntry", entry_uid=st.sampled_from(ENTRIES)),
    _kind("ChangeSettings", uid=_uid, notice_h=st.integers(0, 3)),
    _kind("Undo"),
    _kind("Undo", batch=st.sampled_from([*WATCHES, *ENTRIES, *OTHERS])),
)


@given(batches=st.lists(st.lists(_commands, min_size=1, max_size=3), max_size=14))
@settings(max_examples=60 if THOROUGH else 25, deadline=None, derandomize=True)
def test_whatever_was_done_undoing_all_leaves_nothing(
    batches: list[list[Command]], empty: Empty, as_read: Callable[[Store], Any]
) -> None:
    with _in_memory(empty.image) as store:
        before = as_read(store)
        for batch in batches:
            with suppress(GoingError):
                submit(store, batch, empty.who)
        for _ in range(len(batches)):
            with suppress(NotFound):
                submit(store, [Undo()], empty.who)
        assert as_read(store) == before
        with pytest.raises(NotFound):
            submit(store, [Undo()], empty.who)


_scalar = st.one_of(
    st.none(), st.booleans(), st.integers(), st.just(10**5000), st.floats(), st.text(max_size=20), st.binary(max_size=8),
    st.sampled_from(["12", "24", "12,5", "4:37", "437", " ", "going", "2026-11-25", "0001-01-01T00:00+14:00", "{x}", "{", "%s"]),
    st.datetimes(), st.datetimes(timezones=st.timezones()), st.text(st.characters(categories=["Cs", "Cc"]), max_size=4),
)  # fmt: skip
_junk = st.one_of(_scalar, st.lists(_scalar, max_size=3), st.dictionaries(st.text(max_size=3), _scalar, max_size=2))


@pytest.mark.parametrize("kind", COMMANDS)
@given(data=st.data())
@settings(max_examples=60 if THOROUGH else 25, deadline=None, derandomize=True)
def test_any_junk_is_a_command_or_rejected_in_sentences(kind: str, data: st.DataObject) -> None:
    names = st.sampled_from([*COMMANDS[kind].model_fields, "self", "{0}", "colour"])
    fields = data.draw(st.dictionaries(names, _junk, max_size=6))
    try:
        command = build(COMMANDS[kind], fields)
    except Rejected as rejected:
        sentences = [problem.sentence for problem in rejected.problems]
        assert sentences
        assert all(sentence.isprintable() and sentence.endswith((".", ")")) for sentence in sentences)
    else:
        assert isinstance(command, COMMANDS[kind])


@given(note=st.text(max_size=60), nickname=st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=30))
@settings(max_examples=60 if THOROUGH else 25, deadline=None, derandomize=True)
def test_text_is_kept_letter_for_letter(note: str, nickname: str, empty: Empty) -> None:
    try:
        watch = build(RegisterWatch, {"nickname": f"'{nickname}\";--", "note": note})
    except Rejected:
        return
    wind = build(LogWind, {"watch_uid": watch.uid, "at": DAYS[0], "zone": "UTC", "note": note})
    with _in_memory(empty.image) as store:
        submit(store, [watch, wind], empty.who)
        (kept,) = watches(store.reading())
        assert (kept.nickname, kept.note) == (watch.nickname, watch.note)
        assert entry_rows(store.reading(), watch.uid)[0]["note"] == wind.note == watch.note


@pytest.mark.parametrize("note", ['it\'s "right"', "naïve – ½ 漢字 🕰", "a\nb", "a\x00b", "%s {x} \\"])
def test_quotes_line_breaks_and_nul_survive(note: str, empty: Empty) -> None:
    with _in_memory(empty.image) as store:
        submit(store, [build(RegisterWatch, {"nickname": "Anna", "note": note})], empty.who)
        assert [watch.note for watch in watches(store.reading())] == [note]


_anywhere = st.one_of(
    st.timezones(), st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
)


@given(at=st.datetimes(datetime(EARLIEST_YEAR, 1, 3), datetime(9999, 12, 29), timezones=_anywhere))  # noqa: DTZ001 -- bounds of any zone
@settings(max_examples=100 if THOROUGH else 25, deadline=None, derandomize=True)
def test_a_moment_of_any_zone_is_kept_to_the_second(at: datetime) -> None:
    moment = build(LogWind, {"watch_uid": WATCHES[0], "at": at, "zone": "UTC"}).at
    assert moment == at.astimezone(UTC).replace(microsecond=0)
    assert from_text(to_text(moment)) == moment
    assert build(LogWind, {"watch_uid": WATCHES[0], "at": to_text(moment), "zone": "UTC"}).at == moment


@given(st.datetimes(timezones=st.just(UTC)), st.datetimes(timezones=st.just(UTC)))
def test_moments_as_text_sort_by_time(one: datetime, other: datetime) -> None:
    one, other = one.replace(microsecond=0), other.replace(microsecond=0)
    assert (to_text(one) < to_text(other)) == (one < other)
