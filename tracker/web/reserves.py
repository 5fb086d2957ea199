"""Reserves over time: which watches have lost some of theirs? All of them as small pictures, the most fallen first."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from flask import Blueprint, render_template, request

from tracker import phrases
from tracker.asked import threshold_of
from tracker.core.segment import YEAR
from tracker.figures import Figures, survey
from tracker.plots import coursewords
from tracker.plots.little import little
from tracker.plots.picture import Figure
from tracker.web import pending, pictures, reservewords, safety, table
from tracker.web.request import line_for, now, preferences, store, zone
from tracker.words import say

pages = Blueprint("reserves", __name__)

A_PAGE = 24
"""So many are drawn at once."""
MOST_YEARS = 10.0
"""The pictures reach no farther back."""
FIRST = "-lost"


def _lost(each: Figures) -> tuple[bool, float, float]:
    """How likely it has fallen; least of all where there is too little to tell."""
    found = each.estimate
    return coursewords.can_tell(found, each.segment), found.fall_probability, found.baseline_h.mid / found.reserve_h.mid


SORTS: dict[str, Callable[[Figures], Any]] = {
    "lost": _lost,
    "nickname": table.by_nickname,
    "then": lambda each: each.estimate.baseline_h.mid,
    "now": lambda each: each.estimate.reserve_h.mid,
    "evidence": lambda each: sum(each.estimate.evidence.values()),
}
"""Orders by name."""


@dataclass(frozen=True, slots=True)
class Row:
    """One watch: its small picture, none while it is being worked out anew, and what it says."""

    uid: str
    nickname: str
    figure: Figure | None
    said: str
    then: str
    now: str
    lost: str
    evidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The order that the address asks for, turned round with `down`, and the page, from 1."""

    sort: str
    down: bool
    page: int

    def address(self, sort: str) -> str:
        """The parameter of this order, turned round if it is in this order already."""
        return f"-{sort}" if sort == self.sort and not self.down else sort


@pages.get("/collection/reserves")
def page() -> str:
    """The watches of which something has been seen, a page of them drawn."""
    safety.allow_pictures()
    line, found = line_for(), survey(store(), now(), with_runs=False).own
    figures, wanted, threshold = found.known, wanted_of(request.args), threshold_of(preferences().values)
    known = [each for each in figures if told(each)]
    shown = in_order(known, wanted)[(wanted.page - 1) * A_PAGE : wanted.page * A_PAGE]
    return render_template(
        "reserves.html",
        first_line=first_line(known, threshold),
        rows=rows(shown, earliest(known, now()), threshold, now(), zone()),
        lacking=pending.pending(found.waiting),
        line=line,
        asks=pending.asks(line),
        pending=pending,
        untold=[each.watch for each in figures if not told(each)],
        wanted=wanted,
        page_count=max(1, -(-len(known) // A_PAGE)),
        headers=headers(threshold),
        pictures=pictures,
    )


def wanted_of(parameters: Mapping[str, str]) -> Wanted:
    """What these parameters ask for; what is not known asks for nothing."""
    asked = parameters.get("page", "1")
    sort = parameters.get("sort", FIRST) if parameters.get("sort", FIRST).removeprefix("-") in SORTS else FIRST
    return Wanted(
        sort=sort.removeprefix("-"),
        down=sort.startswith("-"),
        page=max(1, int(asked)) if asked.isascii() and asked.isdigit() and len(asked) < 5 else 1,  # noqa: PLR2004 -- no collection has so many pages
    )


def told(each: Figures) -> bool:
    """Whether anything was seen of its reserve since its last service."""
    return any(each.estimate.evidence.values())


def in_order(figures: Sequence[Figures], wanted: Wanted) -> list[Figures]:
    """Equal ones by nickname."""
    return sorted(sorted(figures, key=table.by_nickname), key=SORTS[wanted.sort], reverse=wanted.down)


def earliest(figures: Sequence[Figures], now: datetime) -> datetime:
    """Where the one time axis of all pictures begins."""
    since = [each.segment.since for each in figures if each.segment.since is not None]
    return max(min(since, default=now - YEAR), now - MOST_YEARS * YEAR)


def rows(figures: Sequence[Figures], start: datetime, threshold: float, now: datetime, zone: ZoneInfo) -> list[Row]:
    """The watches as they are shown."""
    return [
        Row(
            uid=each.watch.uid,
            nickname=each.watch.nickname,
            figure=None
            if each.behind
            else little(each.segment, each.estimate, threshold=threshold, start=start, now=now, zone=zone),
            said=coursewords.brief(each.estimate, each.segment, threshold, now, zone),
            then=coursewords.spans(each.estimate)[0],
            now=coursewords.spans(each.estimate)[1],
            lost=phrases.chance(each.estimate.fall_probability)
            if coursewords.can_tell(each.estimate, each.segment)
            else "",
            evidence=reservewords.evidence(each),
        )
        for each in figures
    ]


def first_line(figures: Sequence[Figures], threshold: float) -> str:
    """How many have lost some of their reserve?"""
    if not figures:
        return say("Nothing has been seen of any reserve yet.")
    judged = [each for each in figures if coursewords.can_tell(each.estimate, each.segment)]
    if not judged:
        return say("Too little has been seen of any to tell of a decline.")
    lost = coursewords.share(threshold)
    if len(figures) == 1:
        return say("One watch: {said}", said=coursewords.fallen(judged[0].estimate, threshold))
    said = _how_many(judged, lost)
    left = len(figures) - len(judged)
    return say("{said}; of {n} too little is seen yet.", said=said, n=phrases.number(left)) if left else f"{said}."


def _how_many(judged: Sequence[Figures], lost: str) -> str:
    """How many of those of which it can be told, as the start of a sentence."""
    fallen = sum(each.estimate.fall_probability >= coursewords.PROBABLE for each in judged)
    count = phrases.number(len(judged))
    if len(judged) == 1:
        return (
            say("One watch has probably lost {share} or more", share=lost)
            if fallen
            else say("None has probably lost {share} of its reserve", share=lost)
        )
    if not fallen:
        return say("None of {n} watches has probably lost {share} of its reserve", n=count, share=lost)
    if fallen == 1:
        return say("One of {n} watches has probably lost {share} of its reserve or more", n=count, share=lost)
    some = phrases.capital(phrases.number(fallen))
    return say(
        "{some} of {n} watches have probably lost {share} of their reserve or more", some=some, n=count, share=lost
    )


def headers(threshold: float) -> list[tuple[str, str]]:
    """The heads of the table: the order each one asks for, and its label."""
    return [
        ("nickname", say("Watch")),
        ("then", say("An average run at first")),
        ("now", say("Now")),
        ("lost", say("Chance that {share} is lost", share=coursewords.share(threshold))),
        ("evidence", say("Known from")),
    ]
