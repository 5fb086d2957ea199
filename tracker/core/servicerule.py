"""The owner's rule for the next service of a watch: years since the last one, or a day."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, tzinfo

from tracker.core.segment import YEAR
from tracker.core.watch import Watch


@dataclass(frozen=True, slots=True)
class Rule:
    """So many years after the last service, or on a day that is still to be kept; None where there is no such rule.

    `own` tells that it is for this watch alone.
    """

    interval_years: float | None = None
    day: datetime | None = None
    own: bool = False


NO_RULE = Rule()


def rule_of(watch: Watch, interval_years: float | None, serviced_at: datetime | None, zone: tzinfo) -> Rule:
    """The rule that holds for a watch: its own, where it has one, takes the place of the owner's for all.

    A day counts until a service has come on it or later; then it is done with.

    Args:
        watch: what the register says, with its own rule.
        interval_years: the owner's interval for all watches.
        serviced_at: the last service, None if none is known.
        zone: where the owner's days begin.
    """
    day = _moment(watch.service_due_on, zone)
    if day is not None and serviced_at is not None and serviced_at >= day:
        day = None
    if watch.service_every_years is not None or day is not None:
        return Rule(watch.service_every_years, day, own=True)
    return Rule(interval_years)


def _moment(day: date | None, zone: tzinfo) -> datetime | None:
    return None if day is None else datetime.combine(day, time(), zone).astimezone(UTC)


def due_at(rule: Rule, serviced_at: datetime | None) -> datetime | None:
    """When the next service is due by the rule, whichever of its parts comes first; an interval needs a service."""
    by_age = serviced_at + rule.interval_years * YEAR if rule.interval_years and serviced_at else None
    return min((each for each in (by_age, rule.day) if each is not None), default=None)
