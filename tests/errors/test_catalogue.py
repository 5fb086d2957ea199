"""The catalogue of what commands and the store say is wrong, sentence by sentence."""

import ast
import json
import re
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from string import Formatter
from typing import Any

import pytest
from pydantic import ValidationError

from tests.reminders.duly import last_call
from tracker import errors
from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.build import OF_KIND, build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.register import RegisterWatch
from tracker.errors import Rejected, Unavailable
from tracker.store import channels, people
from tracker.store.store import Store, connect
from tracker.uids import uid_of

HERE = Path(__file__).parent
TRACKER = HERE.parents[1] / "tracker"
CATALOGUE = ("fields.txt", "commands.txt", "programs.txt", "store.txt")
AT = {"at": "2026-11-24T07:00Z", "zone": "UTC"}
RIGHT: dict[str, dict[str, Any]] = {
    "RegisterWatch": {"nickname": "Clara"},
    "LogWind": {"watch_uid": uid_of("anna"), **AT},
    "LogSighting": {"watch_uid": uid_of("anna"), **AT},
    "AttachPhotograph": {"entry_uid": uid_of("wind"), "sha256": "0" * 64, "media_type": "image/png", "size_bytes": 17},
    "LogWear": {"watch_uid": uid_of("anna"), **AT},
    "LogWinder": {"watch_uid": uid_of("anna"), **AT, "act": "off"},
    "LogSign": {"watch_uid": uid_of("anna"), **AT, "sign": "turns left", "word": "more"},
    "LogReading": {"watch_uid": uid_of("anna"), **AT, "position": "CH", "rate_s_per_day": 4},
    "AddChannel": {"name": "Phone", "address_uid": uid_of("address")},
    "AddSensor": {"name": "tray", "topic": "tray", "expected_s": 60},
    "EndTest": {"test_uid": uid_of("test")},
}


def _lines(name: str) -> list[list[str]]:
    rows = (HERE / name).read_text(encoding="utf-8").splitlines()
    return [row.split(" | ") for row in rows if row and not row.startswith("#")]


def _last(text: str) -> str:
    return text if text[0] not in "[{" else "given"


def _with_uids(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _with_uids(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_with_uids(each) for each in value]
    return uid_of(value[1:]) if isinstance(value, str) and value.startswith("@") else value


def _rejection(kind: str, given: str) -> Rejected:
    with pytest.raises(Rejected) as caught:
        build(COMMANDS[kind], RIGHT.get(kind, {}) | json.loads(given))
    return caught.value


@pytest.mark.parametrize(("kind", "given", "field", "sentence"), _lines("fields.txt"), ids=_last)
def test_a_wrong_field_is_named_with_what_is_accepted(kind: str, given: str, field: str, sentence: str) -> None:
    assert [(problem.field, problem.sentence) for problem in _rejection(kind, given).problems] == [(field, sentence)]


def test_every_kind_of_error_is_provoked_by_some_input() -> None:
    provoked = {"missing"}  # below: a field that is not there at all
    for kind, given, *_ in _lines("fields.txt"):
        cause = _rejection(kind, given).__cause__
        assert isinstance(cause, ValidationError)
        provoked |= {detail["type"] for detail in cause.errors()}
    provoked |= {"int_parsing_size"}  # below: too long for a line of the catalogue
    assert provoked == set(OF_KIND)


def test_a_field_that_is_not_there_is_needed() -> None:
    with pytest.raises(Rejected) as caught:
        build(RegisterWatch, {})
    assert [(problem.field, problem.sentence) for problem in caught.value.problems] == [("nickname", "This is needed.")]


def test_a_number_of_thousands_of_digits_is_cut_short() -> None:
    too_many = _rejection("RegisterWatch", json.dumps({"habit_every_days": "9" * 5000}))
    assert too_many.sentence == f"“{'9' * 40}…” is too large. Give a smaller whole number."


def test_every_wrong_field_is_named_at_once() -> None:
    rejected = _rejection("RegisterWatch", '{"nickname": "", "dial_hours": 13, "colour": "blue"}')
    assert [problem.field for problem in rejected.problems] == ["nickname", "dial_hours", "colour"]
    assert rejected.sentence == " ".join(problem.sentence for problem in rejected.problems)


@pytest.fixture
def household(store: Store, who: Who) -> Store:
    for kind, fields in (
        ("RegisterWatch", {"uid": uid_of("anna"), "nickname": "Anna"}),
        ("RegisterWatch", {"uid": uid_of("berta"), "nickname": "Berta", "indicator": "fraction"}),
        ("ArchiveWatch", {"watch_uid": uid_of("berta")}),
        ("AddSensor", {"uid": uid_of("tray"), "name": "tray", "topic": "house/tray", "expected_s": 60}),
    ):
        submit(store, [build(COMMANDS[kind], fields)], who)
    with store.change() as db:
        channels.keep_address(db, uid_of("address"), "https://hook.example/x")
        people.keep_hash(db, uid_of("opens"), "of a token")
        db.execute("INSERT INTO secret (uid, hash) VALUES (?, '1'), (?, '2')", [uid_of("first"), uid_of("second")])
        db.execute("INSERT INTO channel_address VALUES (?, '')", [uid_of("forgotten")])
    last_call(store, uid_of("due"), who.now, watch_uid=uid_of("anna"))
    last_call(store, uid_of("planned"), who.now, watch_uid=uid_of("anna"), state="planned")
    return store


@pytest.mark.parametrize(("error", "given", "sentence"), _lines("commands.txt"), ids=_last)
def test_a_command_that_cannot_be_done_says_why(
    error: str, given: str, sentence: str, household: Store, who: Who
) -> None:
    *before, refused = [
        build(COMMANDS[kind], (AT if kind.startswith("Log") else {}) | fields)
        for kind, fields in _with_uids(json.loads(given.replace("@me", who.person_uid)))
    ]
    for command in before:
        submit(household, [command], who)
    with pytest.raises(getattr(errors, error)) as caught:
        submit(household, [refused], who)
    assert caught.value.sentence == sentence


@pytest.mark.parametrize("row", _lines("programs.txt"), ids=lambda row: f"{row[1]} {row[2]}")
def test_a_program_is_refused_what_is_for_people(row: list[str], household: Store, who: Who) -> None:
    error, scope, given, sentence = row
    *before, refused = [build(COMMANDS[kind], fields) for kind, fields in _with_uids(json.loads(given))]
    for command in before:
        submit(household, [command], who)
    dump = list(household.reading().conn.iterdump())
    with pytest.raises(getattr(errors, error)) as caught:
        submit(household, [refused], replace(who, origin="program", as_helper=scope == "log"))
    assert caught.value.sentence == sentence
    assert list(household.reading().conn.iterdump()) == dump


def _failing(code: int) -> Callable[[Path], sqlite3.Connection]:
    class Failing(sqlite3.Connection):
        def execute(self, *args: Any) -> sqlite3.Cursor:
            if args[0] == "COMMIT":
                error = sqlite3.OperationalError("in the words of SQLite")
                error.sqlite_errorcode = code
                raise error
            return super().execute(*args)

    return lambda path: sqlite3.connect(path, factory=Failing)


def _change(file: Path, factory: Callable[[Path], sqlite3.Connection]) -> None:
    store = Store(file, connect=factory)
    try:
        with store.change() as db:
            db.execute("UPDATE person SET name = 'other'")
    finally:
        store.close()


def _impatient(path: Path) -> sqlite3.Connection:
    conn = connect(path)
    conn.execute("PRAGMA busy_timeout = 1")
    return conn


def _busy(folder: Path, now: datetime) -> None:
    first = open_collection(folder, now)
    with first.change():
        _change(first.path, _impatient)


def _read_only(folder: Path, now: datetime) -> None:
    file = open_collection(folder, now).path
    _change(file, lambda path: sqlite3.connect(f"file:{path}?mode=ro", uri=True))


def _overwritten(folder: Path, now: datetime, content: bytes) -> None:
    store = open_collection(folder, now)
    store.close()
    store.path.write_bytes(store.path.read_bytes()[:100] + content if content else b"no database at all " * 99)
    open_collection(folder, now)


def _instead(path: Path, folder: Path, now: datetime, make: Callable[[Path], None]) -> None:
    make(path)
    open_collection(folder, now)


def _newer(folder: Path, now: datetime) -> None:
    store = open_collection(folder, now)
    with store.change() as db:
        db.execute(
            "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('going', 'm9999_later', '')"
        )
    open_collection(folder, now)


def _no_owner(folder: Path, now: datetime) -> None:
    store = open_collection(folder, now)
    with store.change() as db:
        db.execute("DELETE FROM person")
    owner(store, "page", now)


PROVOKE: dict[str, Callable[[Path, datetime], None]] = {
    "another program is writing": _busy,
    "the disk is full": lambda folder, now: _change(open_collection(folder, now).path, _failing(sqlite3.SQLITE_FULL)),
    "the disk fails": lambda folder, now: _change(open_collection(folder, now).path, _failing(sqlite3.SQLITE_IOERR)),
    "the file may only be read": _read_only,
    "the file is of another kind": lambda folder, now: _overwritten(folder, now, b""),
    "the file is damaged": lambda folder, now: _overwritten(folder, now, b"\xff" * 9999),
    "the file is a folder": lambda folder, now: _instead(
        folder / "going.db", folder, now, lambda path: path.mkdir(parents=True)
    ),
    "the folder is a file": lambda folder, now: _instead(folder, folder, now, Path.touch),
    "a newer program wrote it": _newer,
    "no owner in it": _no_owner,
}


@pytest.mark.parametrize(("condition", "sentence"), _lines("store.txt"), ids=_last)
def test_what_is_wrong_with_the_file_is_said_in_one_sentence(
    condition: str, sentence: str, tmp_path: Path, now: datetime
) -> None:
    with pytest.raises(Unavailable) as caught:
        PROVOKE[condition](tmp_path / "here", now)
    assert caught.value.sentence == sentence.format(folder=tmp_path / "here")


def _sayings(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "say" and isinstance(node.args[0], ast.Constant):
            yield str(node.args[0].value)


def _pattern(sentence: str) -> str:
    return "".join(
        re.escape(text) + (".+" if place is not None else "") for text, place, _, _ in Formatter().parse(sentence)
    )


def test_every_sentence_of_commands_and_store_stands_in_the_catalogue() -> None:
    catalogue = [row[-1] for name in CATALOGUE for row in _lines(name)]
    paths = [*TRACKER.glob("commands/*.py"), *TRACKER.glob("store/*.py"), TRACKER / "collection.py"]
    missing = {
        sentence
        for path in paths
        for sentence in _sayings(path)
        if not any(re.search(_pattern(sentence), line) for line in catalogue)
    }
    assert missing == set()


def test_no_sentence_speaks_in_the_words_of_a_library() -> None:
    words = re.compile(
        r"pydantic|Input should|valid (string|integer|number)|Field required|sqlite|constraint|ctx|None\b",
        re.IGNORECASE,
    )
    sentences = [row[-1] for name in CATALOGUE for row in _lines(name)]
    assert [sentence for sentence in sentences if words.search(sentence)] == []
    assert all(sentence[0].isupper() or sentence[0] in "“-0123456789g" for sentence in sentences)
