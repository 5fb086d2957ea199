"""When the next service is due: by age, by the owner's rule for the watch, by evidence; and which comes first."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from tracker.core.decline import Finding, Forecast

By = Literal["age", "own age", "own day", "evidence", "least"]
"""*age*: the owner's interval for all; *own age*, *own day*: the rule for this watch; *evidence*: its reserve will have fallen
by the owner's threshold; *least*: below the least that will do."""


@dataclass(frozen=True, slots=True)
class Due:
    """A date by its band: `low` and `high` are the 5 and 95 % points, all three alike where a rule sets it.

    `at` is None where it is never as likely as not; `high` where it never is so likely.
    """

    by: By
    low: datetime
    at: datetime | None
    high: datetime | None


@dataclass(frozen=True, slots=True)
class NextDue:
    """What is due first, None if nothing tells; `sooner` are those after it that may yet come before it, `later` the others."""

    first: Due | None
    sooner: tuple[Due, ...] = ()
    later: tuple[Due, ...] = ()


def next_due(found: Finding) -> NextDue:
    """Put the dates of a watch in order: the first by its middle; one whose band begins before that may come sooner."""
    dates = [each for each in (_by_rule(found), _by("evidence", found.reached), _by("least", found.least)) if each]
    first = min((each for each in dates if each.at is not None), key=_middle, default=None)
    others = sorted((each for each in dates if each is not first), key=lambda each: each.low)
    if first is None:
        return NextDue(None, later=tuple(others))
    before = tuple(each for each in others if each.low < _middle(first))
    return NextDue(first, before, tuple(each for each in others if each not in before))


def _middle(each: Due) -> datetime:
    return each.at or each.low


def _by_rule(found: Finding) -> Due | None:
    at = found.due_at
    if at is None:
        return None
    if at == found.rule.day:
        return Due("own day", at, at, at)
    return Due("own age" if found.rule.own else "age", at, at, at)


def _by(by: By, told: Forecast | None) -> Due | None:
    return None if told is None else Due(by, told.low, told.mid, told.high)
