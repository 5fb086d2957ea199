"""Writing a collection as plain files: made beside its place, and given its name only when it is whole."""

import csv
import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any, TextIO

from sqlite_utils import Database

from tracker.errors import Conflict, Unavailable
from tracker.photofile import FOLDER
from tracker.store.copies import named_files
from tracker.store.exchange import FILES, LEFT, Table, at_one_moment, rows, steps, tables
from tracker.store.moments import to_text
from tracker.transfer.cells import to_cell, to_json
from tracker.transfer.described import csv_metadata, json_schema
from tracker.words import say

FORM, FORM_VERSION = "Going Barrel collection", 1
HEAD, SCHEMA, METADATA = "collection.json", "collection.schema.json", "csv-metadata.json"
WORKING = ".going-export-"


@dataclass(frozen=True, slots=True)
class Left:
    """What was written: rows by table, how many files with them, the hashes of files that are named and no longer there."""

    rows: Mapping[str, int]
    files: int
    missing: Sequence[str]


def write(folder: Path, place: Path, now: datetime, *, as_json: bool) -> Left:
    """Write the collection of a folder into another folder, as it stands at one moment, also while it is in use.

    Raises:
        Conflict: there is something in that place.
        Unavailable: there is no collection, or the disk refuses.
    """
    if not (folder / "going.db").exists():
        raise Unavailable(say("There is no collection in {folder}.", folder=folder))
    if place.exists() and (not place.is_dir() or any(place.iterdir())):
        raise Conflict(say("{file} is there already and was left alone. Choose another name.", file=place))
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=WORKING, dir=place.parent) as working:
            made = Path(working) / "whole"
            made.mkdir()
            left = _write(folder, made, now, as_json=as_json)
            if place.exists():
                place.rmdir()
            made.rename(place)
    except OSError as error:
        raise Unavailable(say("{file} can't be written: {why}.", file=place, why=error.strerror)) from error
    return left


def _write(folder: Path, made: Path, now: datetime, *, as_json: bool) -> Left:
    with ExitStack() as stack:
        read = {name: stack.enter_context(at_one_moment(folder / name)) for name in FILES if (folder / name).exists()}
        there = [(db, table) for name, db in read.items() for table in tables(db, name)]
        files, missing = _copy_files(folder, made)
        head = {
            "form": FORM,
            "form_version": FORM_VERSION,
            "made_utc": to_text(now),
            "program": version("going-barrel"),
            "schema": {name: steps(db, name) for name, db in read.items()},
            "left_out": {table: why for name in read for table, why in LEFT[name].items()},
            "missing_files": missing,
        }
        described = [table for _, table in there]
        if as_json:
            _dump(made / SCHEMA, json_schema(head, described))
            return Left(_write_json(made / HEAD, head, there), files, missing)
        _dump(made / HEAD, head)
        _dump(made / METADATA, csv_metadata(described))
        return Left({table.name: _write_csv(made, db, table) for db, table in there}, files, missing)


def _copy_files(folder: Path, made: Path) -> tuple[int, list[str]]:
    named = sorted(named_files(folder / "going.db"))
    there = [name for name in named if (folder / FOLDER / name).is_file()]
    if there:
        (made / FOLDER).mkdir()
    for name in there:
        shutil.copyfile(folder / FOLDER / name, made / FOLDER / name)
    return len(there), sorted({*named} - {*there})


def _dump(file: Path, value: Mapping[str, Any]) -> None:
    file.write_text(json.dumps(value, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def _write_json(file: Path, head: Mapping[str, Any], there: Sequence[tuple[Database, Table]]) -> dict[str, int]:
    """A row a line, so that it can be read, compared and written without holding it all."""
    with file.open("w", encoding="utf-8") as out:
        out.write(json.dumps(head, ensure_ascii=False, indent=1).removesuffix("\n}") + ',\n "rows": {')
        counts = {}
        for number, (db, table) in enumerate(there):
            out.write(f"{',' if number else ''}\n  {json.dumps(table.name)}: [")
            counts[table.name] = _rows_of_json(out, db, table)
            out.write("]")
        out.write("\n }\n}\n")
    return counts


def _rows_of_json(out: TextIO, db: Database, table: Table) -> int:
    count = 0
    for row in rows(db, table):
        told = {column.name: to_json(value) for column, value in zip(table.columns, row, strict=True)}
        out.write(f"{',' if count else ''}\n   {json.dumps(told, ensure_ascii=False, allow_nan=False)}")
        count += 1
    return count


def _write_csv(made: Path, db: Database, table: Table) -> int:
    """RFC 4180, in UTF-8, with a first line of names."""
    with (made / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\r\n")
        writer.writerow([column.name for column in table.columns])
        count = 0
        for count, cells in enumerate(_cells(db, table), 1):  # noqa: B007 -- the last one is how many
            writer.writerow(cells)
    return count


def _cells(db: Database, table: Table) -> Iterator[list[str]]:
    for row in rows(db, table):
        yield [to_cell(value, column) for value, column in zip(row, table.columns, strict=True)]
