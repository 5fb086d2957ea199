"""The service book: which services in which order, and what is said of each."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.part import Part, line_of_spring
from tracker.words import say

Row = dict[str, Any]


def _words(row: Row, name: str) -> tuple[bool, str]:
    return not row[name], row[name].casefold()


SORTS: dict[str, Callable[[Row], Any]] = {
    "when": lambda row: row["at"],
    "watch": lambda row: row["nickname"].casefold(),
    "occasion": lambda row: _words(row, "occasion"),
    "by": lambda row: _words(row, "done_by"),
    "parts": lambda row: -len(row["parts"]),
}
"""Orders by name; what is not said comes last."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the address asks for: an order (turned round with `down`), the services of one watch (uid), text to be found."""

    sort: str = "when"
    down: bool = True
    watch: str = ""
    q: str = ""

    def address(self, sort: str) -> dict[str, str]:
        """The parameters of the same list in this order, or turned round if it is in this order already."""
        turned = sort == self.sort and not self.down
        given = {"sort": f"-{sort}" if turned else sort, "watch": self.watch, "q": self.q}
        return {name: value for name, value in given.items() if value}


def wanted(parameters: Mapping[str, str]) -> Wanted:
    """What these parameters ask for; a word that is not known asks for nothing."""
    sort = parameters.get("sort", "-when")
    known = sort.lstrip("-") in SORTS
    return Wanted(
        sort=sort.lstrip("-") if known else "when",
        down=sort.startswith("-") or not known,
        watch=parameters.get("watch", ""),
        q=parameters.get("q", "").strip(),
    )


def rows(found: Sequence[Row], asked: Wanted) -> list[Row]:
    """The services asked for, in order; equal ones the newest first."""
    chosen = [row for row in found if asked.watch in {"", row["watch_uid"]} and asked.q.casefold() in _text(row)]
    newest = sorted(chosen, key=SORTS["when"], reverse=not (asked.down and asked.sort != "when"))
    return sorted(newest, key=SORTS[asked.sort], reverse=asked.down)


def _text(row: Row) -> str:
    parts = " ".join(part.what for part in row["parts"])
    said = (row[name] for name in ("nickname", "occasion", "work_done", "lubricants", "done_by", "note"))
    return " ".join([*said, parts]).casefold()


def first_line(found: Sequence[Row], now: datetime, zone: ZoneInfo) -> str:
    """What was done, and when last? In one sentence."""
    if not found:
        return say("No service is noted yet.")
    newest = max(found, key=SORTS["when"])
    last = {"nickname": newest["nickname"], "day": phrases.day(newest["at"], now, zone)}
    if len(found) == 1:
        return say("One service is noted: {nickname}, {day}.", **last)
    watches = len({row["watch_uid"] for row in found})
    n = phrases.capital(phrases.number(len(found)))
    if watches == 1:
        return say("{n} services of {nickname}, the last {day}.", n=n, **last)
    return say(
        "{n} services of {watches} watches; the last: {nickname}, {day}.", n=n, watches=phrases.number(watches), **last
    )


def headers() -> list[tuple[str, str]]:
    """The heads of the columns that can be sorted: the order each one asks for, and its label."""
    return [
        ("when", say("When")),
        ("watch", say("Watch")),
        ("occasion", say("What for")),
        ("parts", say("Parts")),
        ("by", say("By")),
    ]


def part_said(part: Part) -> str:
    """A part as a page says it, a spring with what changed."""
    before, after = (line_of_spring(each) if each else "" for each in (part.before, part.after))
    if not before and not after:
        return part.what
    if before == after:
        return say("{what}: {spring} mm, as before", what=part.what, spring=after)
    if not before:
        return say("{what}: {spring} mm now", what=part.what, spring=after)
    if not after:
        return say("{what}: {spring} mm before", what=part.what, spring=before)
    return say("{what}: {before} mm before, {after} mm now", what=part.what, before=before, after=after)
