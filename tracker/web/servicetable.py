"""The table of all watches below the ones in need: in which order, as the address asks, and what its cells say."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, get_args
from zoneinfo import ZoneInfo

from tracker import duewords, servicewords
from tracker.web import table
from tracker.web.serviceview import Subject, Word, word_said
from tracker.words import say

BENCH = "bench"
_ORDER: tuple[Word, ...] = get_args(Word)


def _reached(each: Subject) -> tuple[bool, float]:
    mid = each.finding.reached.mid if each.finding.reached else None
    return mid is None, mid.timestamp() if mid else 0.0


def _due(each: Subject) -> tuple[bool, float]:
    first = each.next_due.first
    return first is None, first.at.timestamp() if first and first.at else 0.0


SORTS: dict[str, Callable[[Subject], Any]] = {
    "need": lambda each: (_ORDER.index(each.word), -each.finding.lost.mid),
    "nickname": lambda each: table.SORTS["nickname"](each.each),
    "lost": lambda each: (each.finding.evidence != "enough", -each.finding.lost.mid),
    "reached": _reached,
    "years": lambda each: (not each.finding.serviced, -each.finding.years),
    "due": _due,
    "evidence": lambda each: (-each.finding.stops, -each.finding.going),
}
"""Orders by name; what is not known comes last."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the address asks for: the order (turned round with `down`), and whose words."""

    sort: str = "need"
    down: bool = False
    bench: bool = False

    def address(self, sort: str) -> dict[str, str]:
        """The parameters of the same page in this order, or turned round if it is in this order already."""
        turned = sort == self.sort and not self.down
        return {"sort": f"-{sort}" if turned else sort} | ({"for": BENCH} if self.bench else {})

    def spoken_to(self, *, bench: bool) -> dict[str, str]:
        """The parameters of the same page in the words of an owner or of a bench."""
        told = (
            {"sort": f"-{self.sort}" if self.down else self.sort} if (self.sort, self.down) != ("need", False) else {}
        )
        return told | ({"for": BENCH} if bench else {})


def wanted(parameters: Mapping[str, str]) -> Wanted:
    """What these parameters ask for; a word that is not known asks for nothing."""
    sort = parameters.get("sort", "")
    known = sort.lstrip("-") if sort.lstrip("-") in SORTS else "need"
    return Wanted(sort=known, down=sort.startswith("-"), bench=parameters.get("for") == BENCH)


def rows(found: Sequence[Subject], asked: Wanted) -> list[Subject]:
    """All of them in order; equal ones by nickname."""
    return sorted(sorted(found, key=SORTS["nickname"]), key=SORTS[asked.sort], reverse=asked.down)


def headers(threshold: str) -> list[tuple[str, str]]:
    """The heads of the columns: the order each one asks for, and its label."""
    return [
        ("nickname", say("Watch")),
        ("need", say("What is found")),
        ("lost", say("Lost")),
        ("reached", say("A loss of {share}", share=threshold)),
        ("years", say("Serviced")),
        ("due", say("Next due")),
        ("evidence", say("Known from")),
    ]


@dataclass(frozen=True, slots=True)
class Cells:
    """One row in words; what is not known is empty."""

    word: str
    lost: str
    reached: str
    years: str
    due: str
    evidence: str


def cells(each: Subject, now: datetime, zone: ZoneInfo) -> Cells:
    """What the row of a watch says."""
    seen = each.finding
    enough = seen.evidence == "enough"
    span = servicewords.lost_span(seen.lost)
    return Cells(
        word=word_said(each),
        lost=say("{lost} ({span})", lost=servicewords.lost(seen.lost), span=span) if enough else "",
        reached=servicewords.forecast_short(seen.reached, now, zone) if enough else "",
        years=say("{years} ago", years=servicewords.years(seen.years)) if seen.serviced else "",
        due=duewords.short(seen, now, zone),
        evidence=servicewords.counted(seen.stops, seen.going, seen.at_most),
    )
