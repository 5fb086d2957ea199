"""Whether a look is offered for the present run and when, and whether a watch is due to run down."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tracker.core.curve import Curve
from tracker.core.rundown import CurrentRun, History, RunDown
from tracker.core.segment import YEAR, ended_since_service
from tracker.core.telling import Looks
from tracker.core.watch import Watch
from tracker.core.windby import still_going

FIRST_HOUR, LAST_HOUR = 8, 21
"""Looks are offered at full hours of the owner's clock from the one to the other."""
NEARLY_BEST = 0.9
"""The earliest look is taken that narrows by this share of what the best one does."""
WORTH_IT = 0.8
"""A look expected to leave more than this share of the doubt is not worth a stop."""
MADE = 0.9
"""A watch seen going when one run in ten would have stopped has been looked at."""
HALF_YEAR = YEAR / 2
MANY = 20
"""Runs that ended in no stop before a run-down is asked for."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Offer:
    """One look: when, how many hours after the wind, the share of the doubt it is expected to leave, by hands or without."""

    at: datetime
    hours: float
    left: float
    hands: bool


def may_stop(watch: Watch) -> bool:
    """Whether anyone may be asked to let this watch stop: never where that costs much, nor a customer's, nor one away."""
    return (
        watch.stake != "calendar"
        and watch.reach != "out of reach"
        and watch.archived_at is None
        and not watch.customers
    )


def run_to_look_at(watch: Watch, history: History, held_uid: str | None) -> CurrentRun | None:
    """The present run if its owner wants looks offered and it is a full one, undisturbed and believed."""
    run = history.current
    if run is None or not (watch.looks_offered and may_stop(watch) and run.counts_as_full):
        return None
    return None if history.on_wrist or history.last.state == "stopped" or run.wind_uid == held_uid else run


def offered(
    history: History, run: CurrentRun, found: Looks, curve: Curve, *, stops_a_year: float, zone: ZoneInfo
) -> Offer | None:
    """The look to offer for this run; None where none would tell much, it has been made, or the last stop was of late.

    A stop is asked for no oftener than the owner accepts `stops_a_year` of such a watch. `curve` is how long a clean run
    lasts.
    """
    last = last_stop(history)
    if last is not None and run.started_at - last.ended_at < YEAR / stops_a_year:
        return None
    return None if still_going(curve, run.seen_going_h) < MADE else best(found, run, zone)


def best(found: Looks, run: CurrentRun, zone: ZoneInfo) -> Offer | None:
    """The earliest look at a fair hour that tells nearly as much as any; None where none is worth it."""
    hands = run.hands is not None
    at = _fair_hours(run.started_at + found.from_h * HOUR, run.started_at + found.to_h * HOUR, zone)
    hours = [(moment - run.started_at) / HOUR for moment in at]
    left = found.left(hours, hands=hands)
    narrowed = 1.0 - left
    if narrowed.max() < 1.0 - WORTH_IT:
        return None
    place = int(np.argmax(narrowed >= NEARLY_BEST * narrowed.max()))
    return Offer(at[place], hours[place], float(left[place]), hands)


def _fair_hours(start: datetime, end: datetime, zone: ZoneInfo) -> list[datetime]:
    """The full hours by day from one moment to the other, and on through the day after."""
    first = start.astimezone(zone).replace(minute=0, second=0, microsecond=0).astimezone(start.tzinfo)
    hours = [first + count * HOUR for count in range(1, int((end - first) / HOUR) + 25)]
    return [moment for moment in hours if FIRST_HOUR <= moment.astimezone(zone).hour <= LAST_HOUR]


def last_stop(history: History) -> RunDown | None:
    """The newest run since the last service that ended in a stop."""
    stopped = [ended for ended in ended_since_service(history) if ended.evidence.ended]
    return stopped[-1] if stopped else None


def run_down_due(watch: Watch, history: History, now: datetime) -> bool:
    """Whether all one does to this watch tells nothing but a lower bound, and it may be asked to run down once.

    After MANY runs that were broken off, and half a year after the last one that was not.
    """
    if not may_stop(watch) or history.current is None:
        return False
    last = last_stop(history)
    if last is not None and now - last.ended_at < HALF_YEAR:
        return False
    since = [ended for ended in ended_since_service(history) if last is None or ended.started_at > last.started_at]
    return sum(run.evidence.kind == "at_least" for run in since) >= MANY
