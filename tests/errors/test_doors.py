"""The same wrong input at every door: one sentence, said where that door has its place for it, and nothing kept."""

import csv
from dataclasses import dataclass
from datetime import datetime
from html import escape
from pathlib import Path

import pytest

from tracker import clock
from tracker.cli import main
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.store import log, register
from tracker.store.store import Store
from tracker.tokens import new_token
from tracker.uids import new_uid, uid_of
from tracker.web.app import create_app

WATCH = uid_of("night ferry")
UID = uid_of("what is given")
LONG = f"/watch/{WATCH}/log?kind=wind"


@dataclass(frozen=True)
class Wrong:
    """One wrong input: what is said of it, and how it is given and named at each door."""

    sentence: str
    page: str
    form: dict[str, str]
    field: str
    words: tuple[str, ...]
    option: str
    kind: str
    file: str
    column: str


NO_DIAL = "“99:99” is not a time on a dial. Give the time on the hands as it stands there, such as 4:37 or 437."
NO_NUMBER = "“many” is not a number. Give a number."
NO_HOURS = "“two-days” is not a number. Give a number."
TAKEN = "There is already a watch called “night FERRY” (in the collection). Choose another nickname."

CATALOGUE = {
    "hands": Wrong(
        NO_DIAL,
        LONG,
        {"found": "stopped", "shown": "99:99"},
        "shown",
        ("wound", "night", "--had-stopped", "--showing", "99:99"),
        "--showing",
        "log",
        "watch,entry,at,found,shown\nNight ferry,wind,2026-11-24T07:00Z,stopped,99:99\n",
        "shown",
    ),
    "turns": Wrong(
        NO_NUMBER,
        LONG,
        {"crown_turns": "many"},
        "crown_turns",
        ("wound", "night", "--turns", "many"),
        "--turns",
        "log",
        "watch,entry,at,crown_turns\nNight ferry,wind,2026-11-24T07:00Z,many\n",
        "crown_turns",
    ),
    "reserve": Wrong(
        NO_HOURS,
        "/collection/register",
        {"nicknames": "Clara", "stated_reserve_h": "two-days"},
        "stated_reserve_h",
        ("add", "Clara", "--reserve", "two-days"),
        "--reserve",
        "watches",
        "nickname,stated_reserve_h\nClara,two-days\n",
        "stated_reserve_h",
    ),
    "nickname": Wrong(
        TAKEN,
        "/collection/register",
        {"nicknames": "night FERRY"},
        "nicknames",
        ("add", "night FERRY"),
        "NICKNAME",
        "watches",
        "nickname\nnight FERRY\n",
        "nickname",
    ),
}


@pytest.fixture
def folder(tmp_path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: now)
    store = open_collection(tmp_path / "own", now)
    submit(store, [RegisterWatch(uid=WATCH, nickname="Night ferry")], owner(store, "page", now))
    store.close()
    return store.path.parent


@pytest.fixture(params=list(CATALOGUE.values()), ids=list(CATALOGUE))
def wrong(request: pytest.FixtureRequest) -> Wrong:
    given: Wrong = request.param
    return given


def _nothing_kept(folder: Path) -> bool:
    store = Store(folder / "going.db")
    try:
        db = store.reading()
        return len(register.watches(db)) == 1 and not log.entry_rows(db, WATCH)
    finally:
        store.close()


def test_the_page_says_it_by_the_field_and_keeps_what_was_typed(folder: Path, now: datetime, wrong: Wrong) -> None:
    store = open_collection(folder, now)
    app = create_app(store, now=lambda: now)
    app.config["WTF_CSRF_ENABLED"] = False
    answer = app.test_client().post(
        wrong.page, data={"uid": UID, "when": "now", **wrong.form}, base_url="http://127.0.0.1"
    )
    assert answer.status_code == 422
    assert f'id="{wrong.field}-problem">{escape(wrong.sentence)}</strong>' in answer.text
    for typed in wrong.form.values():
        assert typed in answer.text
    store.close()
    assert _nothing_kept(folder)


def test_the_command_line_says_it_by_the_option(folder: Path, wrong: Wrong, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*wrong.words, "--data", str(folder)]) == 2
    assert capsys.readouterr().err == f"going: {wrong.option}: {wrong.sentence}\n"
    assert _nothing_kept(folder)


def test_a_file_says_it_by_line_and_column(folder: Path, wrong: Wrong, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "given.csv"
    file.write_text(wrong.file)
    assert main(["import", str(file), "--kind", wrong.kind, "--data", str(folder)]) == 2
    assert f"Line 2, column “{wrong.column}”: {wrong.sentence}\n" in capsys.readouterr().err
    assert _nothing_kept(folder)


def test_the_api_says_it_by_its_pointer(folder: Path, now: datetime, wrong: Wrong) -> None:
    store = open_collection(folder, now)
    command, token = new_token(store, new_uid(now), {"name": "script", "scope": "all"})
    submit(store, [command], owner(store, "page", now))
    (row,) = csv.DictReader(wrong.file.splitlines())
    of_log = {"watch_uid": WATCH} if wrong.kind == "log" else {}
    body = {name: value for name, value in row.items() if name not in {"watch", "entry"}} | of_log
    answer = (
        create_app(store, now=lambda: now)
        .test_client()
        .post(
            f"/api/commands/{'log-wind' if of_log else 'register-watch'}",
            json=body,
            headers={"Authorization": f"Bearer {token}"},
        )
    )
    assert (answer.status_code, answer.mimetype) == (422, "application/problem+json")
    told = answer.get_json(force=True)
    assert told["detail"] == wrong.sentence
    assert told["errors"] == [{"detail": wrong.sentence, "pointer": f"#/{wrong.column}"}]
    store.close()
    assert _nothing_kept(folder)
