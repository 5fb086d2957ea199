"""Customers' watches: which are in, promised for when, and which went out."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.watch import Watch
from tracker.words import say

Where = Literal["in", "out", "all"]
IN: Where = "in"
PLACES: tuple[Where, ...] = ("in", "out", "all")


def _known(day: date | None) -> tuple[bool, date]:
    return day is None, day or date.max


def _words(text: str) -> tuple[bool, str]:
    return not text, text.casefold()


SORTS: dict[str, Callable[[Watch], Any]] = {
    "promised": lambda each: _known(each.promised_for),
    "nickname": lambda each: each.nickname.casefold(),
    "job": lambda each: _words(each.job_number),
    "whose": lambda each: _words(each.belongs_to),
    "came": lambda each: _known(each.came_in),
    "out": lambda each: _known(each.went_out),
}
"""Orders by name; what is not known comes last."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the address asks for: an order (turned round with `down`), where the watches are, text to be found."""

    sort: str = "promised"
    down: bool = False
    where: Where = IN
    q: str = ""

    def address(self, sort: str) -> dict[str, str]:
        """The parameters of the same list in this order, or turned round if it is in this order already."""
        turned = sort == self.sort and not self.down
        given = {"sort": f"-{sort}" if turned else sort, "where": self.where if self.where != IN else "", "q": self.q}
        return {name: value for name, value in given.items() if value}


def wanted(parameters: Mapping[str, str]) -> Wanted:
    """What these parameters ask for; a word that is not known asks for nothing."""
    sort, where = parameters.get("sort", ""), parameters.get("where", "")
    return Wanted(
        sort=sort.lstrip("-") if sort.lstrip("-") in SORTS else "promised",
        down=sort.startswith("-"),
        where=next((each for each in PLACES if each == where), IN),
        q=parameters.get("q", "").strip(),
    )


def jobs(watches: Sequence[Watch], where: Where) -> list[Watch]:
    """Customers' watches that are in, went out, or both; the one promised soonest first."""
    found = [each for each in watches if each.customers and (where == "all" or each.gone_out == (where == "out"))]
    return sorted(sorted(found, key=SORTS["nickname"]), key=SORTS["promised"])


def rows(watches: Sequence[Watch], asked: Wanted) -> list[Watch]:
    """Those asked for, in order; equal ones by nickname."""
    found = [each for each in jobs(watches, asked.where) if asked.q.casefold() in _text(each)]
    return sorted(sorted(found, key=SORTS["nickname"]), key=SORTS[asked.sort], reverse=asked.down)


def _text(watch: Watch) -> str:
    return f"{watch.nickname} {watch.job_number} {watch.belongs_to} {watch.calibre} {watch.note}".casefold()


def first_line(found: Sequence[Watch], where: Where, now: datetime, zone: ZoneInfo) -> str:
    """Whose watches are in, and which is promised first?"""
    n = phrases.capital(phrases.number(len(found)))
    if where == "out":
        if not found:
            return say("No customer’s watch went out yet.")
        return (
            say("One customer’s watch went out.") if len(found) == 1 else say("{n} customers’ watches went out.", n=n)
        )
    here = [each for each in found if not each.gone_out]
    if not here:
        return say("No customer’s watch is in.")
    n = phrases.capital(phrases.number(len(here)))
    told = say("One customer’s watch is in") if len(here) == 1 else say("{n} customers’ watches are in", n=n)
    late = sum(overdue(each, now, zone) for each in here)
    first = min((each for each in here if each.promised_for), key=SORTS["promised"], default=None)
    if late:
        said = say("one is past its day") if late == 1 else say("{n} are past their day", n=phrases.number(late))
        return say("{told}; {said}.", told=told, said=said)
    if first is None or first.promised_for is None:
        return say("{told}; none is promised for a day.", told=told)
    day = phrases.date_of(first.promised_for)
    return say("{told}; {nickname} is promised first, for {day}.", told=told, nickname=first.nickname, day=day)


def overdue(watch: Watch, now: datetime, zone: ZoneInfo) -> bool:
    """Whether it is still in though the day it was promised for has passed."""
    promised = watch.promised_for
    return promised is not None and not watch.gone_out and promised < now.astimezone(zone).date()


def headers() -> list[tuple[str, str]]:
    """The heads of the columns: the order each one asks for, and its label."""
    return [
        ("nickname", say("Watch")),
        ("job", say("Job number")),
        ("whose", say("Belongs to")),
        ("came", say("Came in")),
        ("promised", say("Promised for")),
        ("out", say("Went out")),
    ]


def choices() -> list[tuple[str, str]]:
    """Where they may be, for the filter."""
    return [("in", say("in")), ("out", say("gone out")), ("all", say("all"))]
