"""Whether a collection is whole and fits together: its files, its rows, what is derived of them. Nothing is changed."""

import hashlib
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from sqlite_utils import Database

from tracker import derive, sensing, workedout
from tracker.asked import threshold_of, today_of
from tracker.collection import FILE_NAME, preferences_of
from tracker.errors import Unavailable
from tracker.histories import told
from tracker.photofile import FOLDER
from tracker.store import copies, estimates, log, register, sanity
from tracker.store.migrations import names
from tracker.store.sensed.migrations import FILE_NAME as SENSORS
from tracker.store.sensed.migrations import SENSED, open_sensed
from tracker.store.store import Store
from tracker.words import say

Subject = Literal["file", "rows", "derived", "files"]
CLOSE = 1e-9
"""Figures of another machine's processor differ in their last digits."""
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Finding:
    """One sentence on one subject; `fault` where something is wrong, else a remark."""

    subject: Subject
    sentence: str
    fault: bool = True


def check(folder: Path, now: datetime) -> list[Finding]:
    """Everything that is found, worst first; where a file is damaged or of another schema, what rests on it is not looked at.

    Raises:
        Unavailable: there is no collection.
    """
    if not (folder / FILE_NAME).exists():
        raise Unavailable(say("There is no collection in {folder}.", folder=folder))
    found = [*_database(folder / FILE_NAME, names())]
    if (folder / SENSORS).exists():
        found += _database(folder / SENSORS, names(SENSED))
    if not found:
        with closing(Store(folder / FILE_NAME)) as store:
            found += _rows(folder, store.reading())
            found += _derived(store.reading(), now)
    if not any(each.fault and each.subject == "file" for each in found):
        found += _files(folder)
    return sorted(found, key=lambda each: not each.fault)


def _database(path: Path, known: Sequence[str]) -> Iterator[Finding]:
    if flaws := copies.flaws(path):
        why = "; ".join(flaws)
        yield Finding(
            "file",
            say("{file} is damaged: {why}. Put a backup in its place: going restore FILE.", file=path.name, why=why),
        )
        return
    steps = set(copies.schema_steps(path))
    if steps - {*known}:
        yield Finding(
            "file", say("{file} was written by a newer program; update this one to check it.", file=path.name)
        )
    elif steps != {*known}:
        sentence = say(
            "{file} is of an older schema: what is derived can be looked at once it was opened by this program.",
            file=path.name,
        )
        yield Finding("file", sentence, fault=False)


def _rows(folder: Path, db: Database) -> Iterator[Finding]:
    odd = sanity.odd_rows(db)
    if (folder / SENSORS).exists():
        with closing(open_sensed(folder)) as sensed:
            odd |= sanity.odd_heard(sensed.reading())
    for what, count in odd.items():
        yield Finding("rows", say("There is a {what}: {n}.", what=say(what), n=count))


def _derived(db: Database, now: datetime) -> Iterator[Finding]:
    """What is kept of estimates against what the log gives now; those still to be worked out are no fault."""
    waiting = {*derive.in_line(db, now)}
    watches = [watch for watch in register.every_watch(db) if watch.uid not in waiting]
    settings, uids = preferences_of(db).values, [watch.uid for watch in watches]
    today, threshold = today_of(now, settings), threshold_of(settings)
    entries, heard, kept = log.entries(db, uids), sensing.heard(db, uids), estimates.read_answers(db, uids)
    for watch in watches:
        history = told(watch, entries.get(watch.uid, ()), heard.get(watch.uid))
        anew = workedout.answer_of(watch, history, today, threshold).to_dict()
        if not alike(kept[watch.uid][1], anew):
            sentence = say(
                "What is kept of the reserve of {name} is not what its log gives: going recompute.", name=watch.nickname
            )
            yield Finding("derived", sentence)
    counters = sensing.counters(db)
    ahead = [uid for uid, kept_at in estimates.read_keys(db).items() if kept_at.key.log_counter > counters.get(uid, 0)]
    if ahead:
        yield Finding(
            "derived", say("Estimates of logs that are not there yet: {n}. going recompute mends it.", n=len(ahead))
        )


def alike(kept: Any, anew: Any) -> bool:
    """Whether two plain values are the same but for the last digits of their figures."""
    if isinstance(kept, Mapping) and isinstance(anew, Mapping):
        return kept.keys() == anew.keys() and all(alike(kept[key], anew[key]) for key in kept)
    if isinstance(kept, list | tuple) and isinstance(anew, list | tuple):
        return len(kept) == len(anew) and all(alike(*each) for each in zip(kept, anew, strict=True))
    if isinstance(kept, float | int) and isinstance(anew, float | int):
        return kept == anew or math.isclose(kept, anew, rel_tol=CLOSE, abs_tol=CLOSE)
    return bool(kept == anew)


def _files(folder: Path) -> Iterator[Finding]:
    named, place = copies.named_files(folder / FILE_NAME), folder / FOLDER
    there = {file.name for file in place.iterdir()} if place.is_dir() else set()
    if missing := sorted(named - there):
        yield Finding(
            "files", say("Photographs or documents that are named and not there: {names}.", names=", ".join(missing))
        )
    changed = sorted(name for name in there if _HASH.fullmatch(name) and _sha256(place / name) != name)
    if changed:
        yield Finding("files", say("Files that are not what they were: {names}.", names=", ".join(changed)))
    if unnamed := sorted(there - named):
        sentence = say("Files in {folder} that no entry names: {n}. They do no harm.", folder=place, n=len(unnamed))
        yield Finding("files", sentence, fault=False)


def _sha256(file: Path) -> str:
    with file.open("rb") as read:
        return hashlib.file_digest(read, "sha256").hexdigest()
