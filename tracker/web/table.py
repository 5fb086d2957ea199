"""The table of the collection: which watches, in which order, as the address asks."""

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import cycle
from typing import Any

from tracker.figures import Figures
from tracker.web import telling
from tracker.words import say

STATES = ("going", "may have stopped", "stopped", "unknown")
"""Words a filter knows; "going, probably" counts as going."""

Key = Callable[[Figures], Any]


def state(each: Figures) -> str:
    """The state of a watch as one of `STATES`."""
    return "going" if each.standing.word == "going, probably" else each.standing.word


def by_nickname(each: Figures) -> list[str | int]:
    """By letter, but "tray 2" before "tray 10"; text and number always alternate, so that like meets like."""
    parts = re.split(r"(\d+)", each.watch.nickname.casefold())
    return [int(part) if odd else part for part, odd in zip(parts, cycle((False, True)), strict=False)]


def _left(each: Figures) -> tuple[bool, float]:
    band = each.standing.left_h
    return not telling.left(each), band.mid if band is not None else 0.0


def _wind_by(each: Figures) -> tuple[bool, float]:
    by = telling.wind_by(each)
    return by is None, by.timestamp() if by is not None else 0.0


def _seen(each: Figures) -> int:
    return sum(each.estimate.evidence.values())


SORTS: dict[str, Key] = {
    "nickname": by_nickname,
    "state": lambda each: STATES.index(state(each)),
    "left": _left,
    "wind_by": _wind_by,
    "evidence": _seen,
    "place": lambda each: (not each.watch.place, each.watch.place.casefold()),
}
"""Orders by name; what is not known comes last."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the address asks for: the order (turned round with `down`), a state or none, text to be found."""

    sort: str = "nickname"
    down: bool = False
    state: str = ""
    q: str = ""

    def address(self, sort: str) -> dict[str, str]:
        """The parameters of the same table in this order, or turned round if it is in this order already."""
        turned = sort == self.sort and not self.down
        given = {"sort": f"-{sort}" if turned else sort, "state": self.state, "q": self.q}
        return {name: value for name, value in given.items() if value}


def wanted(parameters: Mapping[str, str]) -> Wanted:
    """What these parameters ask for; a word that is not known asks for nothing."""
    sort = parameters.get("sort", "")
    asked = parameters.get("state", "")
    return Wanted(
        sort=sort.lstrip("-") if sort.lstrip("-") in SORTS else "nickname",
        down=sort.startswith("-"),
        state=asked if asked in STATES else "",
        q=parameters.get("q", "").strip(),
    )


def rows(figures: Sequence[Figures], wanted: Wanted, found: Collection[str] | None = None) -> list[Figures]:
    """The watches asked for, in order; equal ones by nickname. `found` are the uids of those found, None where none are sought."""
    chosen = [each for each in figures if _chosen(each, wanted, found)]
    return sorted(sorted(chosen, key=by_nickname), key=SORTS[wanted.sort], reverse=wanted.down)


def _chosen(each: Figures, wanted: Wanted, found: Collection[str] | None) -> bool:
    return wanted.state in {"", state(each)} and (found is None or each.watch.uid in found)


def first_line(figures: Sequence[Figures], *, to_come: int = 0, failed: int = 0) -> str:
    """What have I got, in what state? In one sentence; the last two count the watches without figures."""
    counts = [(sum(state(each) == word for each in figures), state_words(word)) for word in STATES]
    counts += [(to_come, say("being worked out")), (failed, say("not worked out"))]
    counts = [(count, words) for count, words in counts if count]
    watches = sum(count for count, _ in counts)
    if not watches:
        return say("No watch yet.")
    if watches == 1:
        return say("One watch: {state}.", state=counts[0][1])
    said = ", ".join(say("{n} {state}", n=count, state=words) for count, words in counts)
    return say("{n} watches: {states}.", n=watches, states=said)


def state_words(word: str) -> str:
    """A state as the page says it."""
    return say("not known") if word == "unknown" else say(word)


def choices() -> list[tuple[str, str]]:
    """The states a filter offers, the empty one meaning all."""
    return [("", say("all")), *((word, state_words(word)) for word in STATES)]


def headers() -> list[tuple[str, str]]:
    """The heads of the columns: the order each one asks for, and its label."""
    return [
        ("nickname", say("Watch")),
        ("state", say("State")),
        ("left", say("Hours left")),
        ("wind_by", say("Wind by")),
        ("evidence", say("Known from")),
        ("place", say("Place")),
    ]
