"""A collection taken along as plain files comes back the same, and nothing that can not be comes in."""

import csv
import hashlib
import json
import shutil
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as some

from sensors.arrivals import Arrivals
from sensors.intake import sort_out
from sensors.keeper import Keeper
from sensors.topics import Routes
from tests.commands.test_registry import SAMPLES, give, use
from tests.sensors.sensing import messages, rest_sensor
from tracker import figures
from tracker.checking import check
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.log import LogSighting
from tracker.commands.register import RegisterWatch
from tracker.commands.undo import Undo
from tracker.derive import catch_up
from tracker.errors import BadInput, Conflict, GoingError, Unavailable
from tracker.photofile import place
from tracker.store.exchange import BLANK, LEFT, TAKEN, Column
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.transfer import arriving, leaving
from tracker.transfer.cells import Wrong, from_cell, from_json, to_cell, to_json
from tracker.uids import uid_of

ODD = [
    "=1+1",
    "-2",
    "'",
    "''",
    "'=",
    "@x",
    " spaced ",
    "two\nlines",
    "a\r\nb",
    'say "so", he said',
    "\t",
    "ünï ✓ 𝄞",
    "\x00",
]
FORMS = pytest.mark.parametrize("as_json", [True, False], ids=["json", "csv"])


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A collection with a row of every command, odd texts, a file and a sensor's readings."""
    from tests.conftest import NOW  # noqa: PLC0415 -- its moment, under the name of the fixture

    folder = tmp_path_factory.mktemp("full")
    with closing(open_collection(folder, NOW)) as store:
        who = owner(store, "page", NOW)
        use(store, who)
        # First those that a later one would forbid.
        for kind in ("LogWinder", "PutOff", *SAMPLES):
            with suppress(GoingError):
                give(store, who, kind, SAMPLES[kind])
        for number, text in enumerate(ODD):
            submit(store, [RegisterWatch(uid=uid_of("odd", str(number)), nickname=f"Odd {number}", note=text)], who)
        sha256 = hashlib.sha256(b"paper").hexdigest()
        file = place(folder, sha256)
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(b"paper")
        with store.change() as db:
            db.execute("UPDATE attachment SET sha256 = ? WHERE uid = (SELECT min(uid) FROM attachment)", [sha256])
        catch_up(store, NOW)
    with closing(open_sensed(folder)) as sensed:
        sensor = rest_sensor()
        keeper = Keeper(sensed)
        keeper.set_up([sensor], ())
        readings = [(NOW.timestamp() - 60.0 * minute, float(minute % 100 < 60)) for minute in range(500, 0, -1)]
        keeper.keep(sort_out(messages(readings, sensor), Routes([sensor]), Arrivals()))
    return folder


def contents(folder: Path) -> dict[str, list[tuple[Any, ...]]]:
    """Every row that is to travel."""
    found = {}
    for file, names in TAKEN.items():
        with closing(sqlite3.connect(folder / file)) as conn:
            for name in names:
                columns = [row[1] for row in conn.execute(f"PRAGMA table_info({name})")]
                chosen = ", ".join("NULL" if (name, column) in BLANK else column for column in columns)
                found[name] = sorted(conn.execute(f"SELECT {chosen} FROM {name}"), key=repr)  # noqa: S608 -- its own names
    return found


def test_each_table_is_taken_or_left_with_a_reason(full: Path) -> None:
    for file in TAKEN:
        with closing(sqlite3.connect(full / file)) as conn:
            there = {name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        assert {*TAKEN[file], *LEFT[file]} == there
        assert not {*TAKEN[file]} & {*LEFT[file]}


@FORMS
def test_it_comes_back_the_same_and_leaves_again_the_same(
    *, as_json: bool, full: Path, tmp_path: Path, now: datetime
) -> None:
    before = contents(full)
    assert {name for name in before if not before[name]} <= {"unlike_stamp", "turn_count"}
    leaving.write(full, tmp_path / "out", now, as_json=as_json)
    came = arriving.read(tmp_path / "out", tmp_path / "home", now)
    assert contents(tmp_path / "home") == before
    assert came.rows == {name: len(rows) for name, rows in before.items()}
    assert came.files == 1
    leaving.write(tmp_path / "home", tmp_path / "again", now, as_json=as_json)
    first, second = (
        {file.name: file.read_bytes() for file in (tmp_path / each).rglob("*") if file.is_file()}
        for each in ("out", "again")
    )
    assert first == second
    with closing(Store(full / "going.db")) as here, closing(Store(tmp_path / "home" / "going.db")) as there:
        catch_up(there, now)
        kept, found = (
            {each.watch.uid: (each.estimate, each.standing.wind_by) for each in figures.collect(store, now)}
            for store in (here, there)
        )
        assert kept == found
        assert kept
    assert [each.sentence for each in check(tmp_path / "home", now) if each.fault] == [
        each.sentence for each in check(full, now) if each.fault
    ]


def test_no_secret_travels(full: Path, tmp_path: Path, now: datetime) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=True)
    text = (tmp_path / "out" / "collection.json").read_text(encoding="utf-8")
    for secret in ("127.0.0.1/hook", "of a token", "of a password"):
        assert secret not in text


def test_json_is_as_its_schema_says(full: Path, tmp_path: Path, now: datetime) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=True)
    schema, told = (
        json.loads((tmp_path / "out" / name).read_text(encoding="utf-8"))
        for name in ("collection.schema.json", "collection.json")
    )
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(told, schema)
    told["rows"]["watch"][0]["nickname"] = 7
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(told, schema)


def test_csv_is_plain_and_its_metadata_names_every_column(full: Path, tmp_path: Path, now: datetime) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=False)
    metadata = json.loads((tmp_path / "out" / "csv-metadata.json").read_text(encoding="utf-8"))
    assert metadata["@context"] == "http://www.w3.org/ns/csvw"
    for table in metadata["tables"]:
        with (tmp_path / "out" / table["url"]).open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file, strict=True))
        assert rows[0] == [column["name"] for column in table["tableSchema"]["columns"]]
        numbers = {
            at
            for at, column in enumerate(table["tableSchema"]["columns"])
            if column["datatype"] in {"integer", "double"}
        }
        texts = [cell for row in rows[1:] for at, cell in enumerate(row) if at not in numbers]
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in texts)


@FORMS
def test_what_was_there_is_never_written_over(*, as_json: bool, full: Path, tmp_path: Path, now: datetime) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=as_json)
    with pytest.raises(Conflict, match="is there already and was left alone"):
        leaving.write(full, tmp_path / "out", now, as_json=as_json)
    shutil.copytree(full, tmp_path / "home")
    with pytest.raises(Conflict, match="holds something already"):
        arriving.read(tmp_path / "out", tmp_path / "home", now)
    came = arriving.read(tmp_path / "out", tmp_path / "home", now, replace=True)
    assert came.aside is not None
    assert contents(came.aside) == contents(full)


def test_a_collection_that_came_lives_on(full: Path, tmp_path: Path, now: datetime) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=False)
    arriving.read(tmp_path / "out", tmp_path / "home", now)
    with closing(open_collection(tmp_path / "home", now)) as store:
        who = owner(store, "page", now)
        submit(store, [LogSighting(watch_uid=uid_of("odd", "0"), at=now, zone="UTC", seen="going")], who)
        submit(store, [Undo()], who)
        # What was changed before the journey can be undone as ever, or it is said why not.
        for _ in range(200):
            try:
                submit(store, [Undo()], who)
            except GoingError as error:
                said = error.sentence
                break
        else:
            pytest.fail("there was no end of what could be undone")
    assert said.endswith(".")


BREAKS = [
    ("json", lambda told: told["rows"]["winding"][0].update(found="perhaps"), "collection.json, /rows/winding/0: this can't be: CHECK"),
    ("json", lambda told: told["rows"]["watch"][1].update(nickname=7), "collection.json, /rows/watch/1/nickname: Give a text."),
    ("json", lambda told: told["rows"]["watch"][0].update(nickname="\ud800"), "collection.json, /rows/watch/0/nickname: Give a text."),
    ("json", lambda told: told["rows"]["watch"][0].update(version=2**70), "collection.json, /rows/watch/0/version: Give a whole number."),
    ("json", lambda told: told["rows"]["watch"][0].pop("stake"), "collection.json, /rows/watch/0: the columns are not those of this table: stake."),
    ("json", lambda told: told["rows"].update(gems=[]), "collection.json, /rows/gems: there is no such table."),
    ("json", lambda told: told["rows"].pop("watch"), "collection.json, /rows/watch: Give a list of rows."),
    ("json", lambda told: told["rows"]["watch"].clear(), "it names a row of watch that is not there"),
    ("json", lambda told: told["rows"]["watch"].append(told["rows"]["watch"][0]), "this can't be: UNIQUE"),
    ("json", lambda told: told.update(form="a list"), "this is no collection that was exported."),
    ("json", lambda told: told.update(schema=[]), "collection.json, /schema: Give the schema steps"),
    ("json", lambda told: told["schema"]["going.db"].append("m9999_later"), "exported by a newer Going Barrel (it knows “m9999_later”)"),
]  # fmt: skip


@pytest.mark.parametrize(("breaks", "sentence"), [each[1:] for each in BREAKS], ids=[each[2][:50] for each in BREAKS])
def test_what_can_not_be_is_said_with_its_place_and_nothing_comes(
    breaks: Any, sentence: str, full: Path, tmp_path: Path, now: datetime
) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=True)
    file = tmp_path / "out" / "collection.json"
    told = json.loads(file.read_text(encoding="utf-8"))
    breaks(told)
    file.write_text(json.dumps(told), encoding="utf-8")
    with pytest.raises((BadInput, Unavailable)) as refused:
        arriving.read(tmp_path / "out", tmp_path / "home", now)
    assert sentence in refused.value.sentence
    assert [each.name for each in tmp_path.iterdir()] == ["out"]


def _rewrite(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8", newline="")


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda out: _rewrite(out / "watch.csv", "nickname", "name"), "watch.csv: the columns are not those of this table: name, nickname."),
        (lambda out: (out / "watch.csv").unlink(), "watch.csv: it is not there."),
        (lambda out: (out / "watch.csv").write_bytes(b"\xff"), "watch.csv: it is not written in UTF-8."),
        (lambda out: (out / "setting.csv").write_text("name,value,version\nzone,1\n"), "setting.csv, line 2: it has 2 cells, not 3."),
        (lambda out: (out / "setting.csv").write_text("name,value,version\nzone,1,much\n"), "setting.csv, line 2, column “version”: Give a whole number."),
        (lambda out: (out / "setting.csv").write_text("name,value,version\nzone,1,1\nzone,1,1\n"), "setting.csv, row 2 below the names: this can't be: UNIQUE"),
        (lambda out: next((out / "files").iterdir()).write_bytes(b"other"), "its content is not what its name says."),
        (lambda out: (out / "collection.json").write_text("no"), "collection.json: this is no JSON"),
        (lambda out: (out / "collection.json").unlink(), "holds no exported collection: there is no collection.json in it."),
    ],
)  # fmt: skip
def test_csv_that_can_not_be_is_said_with_file_line_and_column(
    spoil: Any, sentence: str, full: Path, tmp_path: Path, now: datetime
) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=False)
    spoil(tmp_path / "out")
    with pytest.raises(BadInput) as refused:
        arriving.read(tmp_path / "out", tmp_path / "home", now)
    assert sentence in refused.value.sentence
    assert not (tmp_path / "home").exists()


def test_a_file_that_no_row_names_stays_behind(full: Path, tmp_path: Path, now: datetime) -> None:
    leaving.write(full, tmp_path / "out", now, as_json=False)
    (tmp_path / "out" / "files" / "stranger").write_bytes(b"x")
    arriving.read(tmp_path / "out", tmp_path / "home", now)
    assert not (tmp_path / "home" / "files" / "stranger").exists()


COLUMNS = [
    Column("c", kind, optional, None) for kind in ("text", "integer", "real", "blob") for optional in (True, False)
]
VALUES: dict[str, some.SearchStrategy[Any]] = {
    "text": some.text(some.characters(exclude_categories=["Cs"])) | some.sampled_from([*ODD, ""]),
    "integer": some.integers(-(2**63), 2**63 - 1),
    "real": some.floats(allow_nan=False, allow_infinity=False),
    "blob": some.binary(),
}


@pytest.mark.parametrize("column", COLUMNS, ids=lambda column: f"{column.kind} {column.optional}")
@given(data=some.data())
def test_every_value_comes_back_from_its_cell_and_from_json(column: Column, data: some.DataObject) -> None:
    value = data.draw(VALUES[column.kind] | (some.none() if column.optional else some.nothing()))
    back = from_json(json.loads(json.dumps(to_json(value))), column)
    assert (back, type(back)) == (value, type(value))
    if value == b"":
        return  # an empty blob and nothing look alike in a cell: no column of ours may hold both
    cell = to_cell(value, column)
    back = from_cell(cell, column)
    assert (back, type(back)) == (value, type(value))
    assert column.kind != "text" or not cell.startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize("column", COLUMNS, ids=lambda column: f"{column.kind} {column.optional}")
@given(
    anything=some.recursive(some.none() | some.booleans() | some.integers() | some.floats() | some.text(), some.lists)
)
def test_whatever_json_holds_is_a_value_of_its_column_or_wrong(column: Column, anything: Any) -> None:
    with suppress(Wrong):
        found = from_json(anything, column)
        kinds = {"text": str, "integer": int, "real": float, "blob": bytes}
        assert type(found) is kinds[column.kind] or (found is None and column.optional)
