"""Run-downs as marks: what each run tells of its length, drawn as what it is, and very many alike as one."""

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Literal
from zoneinfo import ZoneInfo

from tracker.core.rundown import History, RunDown

Form = Literal["point", "bar", "up", "down", "dots", "out"]
"""Known to the hour; between two ends; at least; at most; one of a few moments; left out, no length known."""

AS_POINT_H = 1.0
"""A stop known as well as this is a point."""
ALIKE = ("up", "down", "out")
"""Forms of which those of one month are drawn as one."""
Expected = Callable[[datetime], float]
"""The hours that an average run lasts at a moment."""


@dataclass(frozen=True, kw_only=True)
class Mark:
    """One run, or `count` of a month alike: the one that tells most stands for them.

    `former`: from before the last service. `held`: held back, it counts for nothing as yet. `likeliest`: which of the
    moments that the hands allow lies nearest to what is known of the reserve.
    """

    run: RunDown
    form: Form
    former: bool
    held: bool
    likeliest: int | None = None
    count: int = 1

    @property
    def at(self) -> datetime:
        """When the run began."""
        return self.run.started_at

    @cached_property
    def anchors_h(self) -> tuple[float, ...]:
        """The hours at which it is drawn; none for a run that is left out."""
        spans = self.run.evidence.spans_h
        if self.form in {"dots", "point"}:
            return tuple(math.fsum(span) / 2 for span in spans)
        if self.form == "bar":
            return spans[0]
        return {"up": spans[0][:1], "down": spans[0][1:]}[self.form] if spans else ()


def marks(history: History, zone: ZoneInfo, expected: Expected, held_uid: str | None = None) -> list[Mark]:
    """Every ended run in order, those alike of a month (on the owner's calendar) as one."""
    service = history.services[-1] if history.services else None
    told = [_mark(run, expected, former=run.service_at != service, held_uid=held_uid) for run in history.runs]
    return sorted(_thinned(told, zone), key=lambda mark: mark.at)


def _mark(run: RunDown, expected: Expected, *, former: bool, held_uid: str | None) -> Mark:
    mark = Mark(run=run, form=_form(run), former=former, held=run.wind_uid == held_uid)
    if mark.form != "dots" or former:
        return mark
    usual_h = expected(mark.at)
    far = [abs(math.log(hours / usual_h)) if hours > 0 else math.inf for hours in mark.anchors_h]
    return replace(mark, likeliest=far.index(min(far)))


def _form(run: RunDown) -> Form:
    spans = run.evidence.spans_h
    if not spans:
        return "out"
    if run.evidence.kind in {"at_least", "at_most"}:
        return "up" if run.evidence.kind == "at_least" else "down"
    if len(spans) > 1:
        return "dots"
    return "point" if spans[0][1] - spans[0][0] < AS_POINT_H else "bar"


def _thinned(told: Sequence[Mark], zone: ZoneInfo) -> Iterator[Mark]:
    months: dict[tuple[int, int, bool, Form], list[Mark]] = defaultdict(list)
    for mark in told:
        if mark.held or mark.form not in ALIKE:
            yield mark
            continue
        there = mark.at.astimezone(zone)
        months[there.year, there.month, mark.former, mark.form].append(mark)
    for alike in months.values():
        yield replace(max(alike, key=_telling), count=len(alike))


def _telling(mark: Mark) -> float:
    """Of runs alike, the longest "at least" and the shortest "at most" tell most."""
    hours = mark.anchors_h[0] if mark.anchors_h else 0.0
    return -hours if mark.form == "down" else hours
