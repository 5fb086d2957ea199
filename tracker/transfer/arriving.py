"""Reading a collection from plain files: made ready beside its place, looked through, and only then put there."""

import csv
import hashlib
import json
import re
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from tracker.backup.place import bring_up_to_date, check_place, put_in_place
from tracker.errors import BadInput, Unavailable
from tracker.photofile import FOLDER
from tracker.store.copies import named_files
from tracker.store.exchange import FILES, TAKEN, Refused, Row, Table, begin, fill, opened, tables, unknown_steps
from tracker.transfer.cells import Wrong, from_cell, from_json
from tracker.transfer.leaving import FORM, FORM_VERSION, HEAD
from tracker.words import say

ARRIVING = ".going-import-"
HASH = re.compile("[0-9a-f]{64}")
GOING = "going.db"
csv.field_size_limit(50_000_000)


@dataclass(frozen=True, slots=True)
class Arrived:
    """What came: rows by table, files, hashes of files that are named and did not come; `aside` as of a backup restored."""

    rows: Mapping[str, int]
    files: int
    missing: Sequence[str]
    aside: Path | None


def read(place: Path, folder: Path, now: datetime, *, replace: bool = False) -> Arrived:
    """Bring the collection that was written into `place` to a folder; what is there is never written over.

    Raises:
        BadInput: something in it can't be, said with file, line and column or JSON pointer; nothing was brought in.
        Conflict: there is a collection, and `replace` does not say that it may be put aside; or it is in use.
        Unavailable: a newer program wrote it, or the disk refuses.
    """
    check_place(folder, replace=replace)
    head = _head(place / HEAD)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=ARRIVING, dir=folder.parent) as working:
            fresh = Path(working) / "collection"
            fresh.mkdir(mode=0o700)
            counts = dict[str, int]()
            for name, named in head["schema"].items():
                begin(fresh / name, named)
                counts |= _fill(fresh / name, place, head)
            files, missing = _bring_files(place, fresh)
            bring_up_to_date(fresh, now)
            return Arrived(counts, files, missing, put_in_place(fresh, folder, now))
    except OSError as error:
        raise Unavailable(
            say("Nothing was brought in: {why}: {file}.", why=error.strerror, file=error.filename or folder)
        ) from error


def _head(file: Path) -> dict[str, Any]:
    try:
        head = json.loads(file.read_text(encoding="utf-8"))
    except OSError as error:
        raise BadInput(
            say("{folder} holds no exported collection: there is no {file} in it.", folder=file.parent, file=file.name)
        ) from error
    except ValueError as error:
        raise _bad(file.name, say("this is no JSON ({why}).", why=error)) from error
    if not isinstance(head, dict) or head.get("form") != FORM:
        raise _bad(file.name, say("this is no collection that was exported."))
    schema = head.get("schema")
    if (
        not isinstance(schema, dict)
        or GOING not in schema
        or {*schema} - {*FILES}
        or not all(map(_texts, schema.values()))
    ):
        raise _bad(
            f"{file.name}, /schema", say("Give the schema steps of going.db, and of sensors.db if there are sensors.")
        )
    newer = [step for name, named in schema.items() for step in unknown_steps(name, named)]
    if newer or head.get("form_version") != FORM_VERSION:
        raise Unavailable(
            say(
                "{folder} was exported by a newer Going Barrel (it knows “{step}”); update the program to bring it in.",
                folder=file.parent,
                step=newer[-1] if newer else head.get("form_version"),
            )
        )
    return head


def _texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(each, str) for each in value)


def _bad(where: str, what: str) -> BadInput:
    return BadInput(say("{where}: {what} Nothing was brought in.", where=where, what=what))


def _fill(path: Path, place: Path, head: Mapping[str, Any]) -> dict[str, int]:
    given = head.get("rows")
    with opened(path) as db:
        found = tables(db, path.name)
        if given is not None:
            _check_names(given, head)
        try:
            return fill(db, lambda table: _of_json(given, table) if given is not None else _of_csv(place, table), found)
        except Refused as error:
            raise _bad(_where(error, as_json=given is not None), say("this can't be: {why}.", why=error.why)) from error


def _where(error: Refused, *, as_json: bool) -> str:
    if error.number is None:
        return error.table if as_json else f"{error.table}.csv"
    if as_json:
        return f"{HEAD}, /rows/{error.table}/{error.number}"
    return say("{file}, row {n} below the names", file=f"{error.table}.csv", n=error.number + 1)


def _check_names(given: object, head: Mapping[str, Any]) -> None:
    known = {table for name in head["schema"] for table in TAKEN[name]}
    if not isinstance(given, dict) or {*given} - known:
        strange = next(iter({*given} - known)) if isinstance(given, dict) else ""
        raise _bad(f"{HEAD}, /rows/{strange}", say("there is no such table."))


def _of_json(given: Mapping[str, Any], table: Table) -> Iterator[Row]:
    names = [column.name for column in table.columns]
    rows = given.get(table.name)
    if not isinstance(rows, list):
        raise _bad(f"{HEAD}, /rows/{table.name}", say("Give a list of rows."))
    for number, row in enumerate(rows):
        where = f"{HEAD}, /rows/{table.name}/{number}"
        if not isinstance(row, dict) or {*row} != {*names}:
            odd = sorted({*row} ^ {*names}) if isinstance(row, dict) else names
            raise _bad(where, say("the columns are not those of this table: {names}.", names=", ".join(odd)))
        found = []
        for column in table.columns:
            try:
                found.append(from_json(row[column.name], column))
            except Wrong as error:
                raise _bad(f"{where}/{column.name}", str(error)) from error
        yield tuple(found)


def _of_csv(place: Path, table: Table) -> Iterator[Row]:
    name = f"{table.name}.csv"
    try:
        with (place / name).open(encoding="utf-8-sig", newline="") as file:
            reader = csv.reader(file, strict=True)
            names = next(reader, [])
            by_name = {column.name: column for column in table.columns}
            if sorted(names) != sorted(by_name):
                odd = sorted({*names} ^ {*by_name}) or names
                raise _bad(name, say("the columns are not those of this table: {names}.", names=", ".join(odd)))
            order = [names.index(column.name) for column in table.columns]
            for cells in reader:
                if len(cells) != len(names):
                    raise _bad(
                        say("{file}, line {n}", file=name, n=reader.line_num),
                        say("it has {n} cells, not {wanted}.", n=len(cells), wanted=len(names)),
                    )
                yield tuple(
                    _value(cells[at], table, at_column, name, reader.line_num) for at_column, at in enumerate(order)
                )
    except FileNotFoundError as error:
        raise _bad(name, say("it is not there.")) from error
    except UnicodeDecodeError as error:
        raise _bad(name, say("it is not written in UTF-8.")) from error
    except csv.Error as error:
        raise _bad(name, say("this is no CSV ({why}).", why=error)) from error


def _value(cell: str, table: Table, at: int, name: str, line: int) -> Any:
    column = table.columns[at]
    try:
        return from_cell(cell, column)
    except Wrong as error:
        raise _bad(
            say("{file}, line {n}, column “{column}”", file=name, n=line, column=column.name), str(error)
        ) from error


def _bring_files(place: Path, fresh: Path) -> tuple[int, list[str]]:
    """Files under the hash of their content, as far as a row names them."""
    named = sorted(named_files(fresh / GOING))
    for name in named:
        if not HASH.fullmatch(name):
            raise _bad(name, say("this names no file: give the SHA-256 of one."))
    there = [name for name in named if (place / FOLDER / name).is_file()]
    if there:
        (fresh / FOLDER).mkdir(mode=0o700)
    for name in there:
        with (place / FOLDER / name).open("rb") as source:
            if hashlib.file_digest(source, "sha256").hexdigest() != name:
                raise _bad(f"{FOLDER}/{name}", say("its content is not what its name says."))
        shutil.copyfile(place / FOLDER / name, fresh / FOLDER / name)
    return len(there), sorted({*named} - {*there})
