"""How a reserve fell, and what else the log shows: each pattern only where evidence carries it, with its odds.

What a pattern suggests, and what would settle it, is said by `tracker.servicewords`; the log alone seldom tells.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Literal, get_args

from tracker.core.likelihood import Run
from tracker.core.prior import Prior
from tracker.core.reserve import Estimate, reserve_now
from tracker.core.rundown import History, RunDown
from tracker.core.samehour import SameHour, same_hour
from tracker.core.scattergrown import ScatterGrown, scatter_grown
from tracker.core.segment import YEAR, Segment, ended_since_service
from tracker.core.spread import Band
from tracker.core.timeline import Shown

SURE = 0.90
"""A pattern that rests on a comparison of two reserves is told from this probability on."""
TELLING = 0.70
"""A fall is called sudden from this probability of a sudden drop on, gradual below one minus it."""
FEW_STOPS = 3
"""Runs from wear are compared with those from the crown where so many of each ended in a stop."""
FIVE_TO_FIFTY = 1.6448536269514722
"""Standard deviations of a normal between its 5 and 50 % points."""


@dataclass(frozen=True, slots=True)
class Gradual:
    """It fell little by little: the probability of that, and the change of log reserve per year."""

    probability: float
    per_year: Band


@dataclass(frozen=True, slots=True)
class Sudden:
    """It fell at once: the probability of that, and the age in years at which it did."""

    probability: float
    years: Band


@dataclass(frozen=True, slots=True)
class Undecided:
    """It fell; whether at once or little by little the evidence leaves open. The probability of a sudden drop."""

    probability: float


@dataclass(frozen=True, slots=True)
class NeverReached:
    """After the service itself it lay below the maker's figure, or below the reserve before that service.

    `probability` is that it lay below `reference_h` by the threshold or more.
    """

    probability: float
    reference: Literal["stated", "before"]
    reference_h: float
    baseline_h: Band


@dataclass(frozen=True, slots=True)
class ShortFromWear:
    """Runs begun by wearing it are shorter than those begun by the crown, by the threshold or more."""

    probability: float
    crown_h: Band
    wear_h: Band


Pattern = Gradual | Sudden | Undecided | NeverReached | ScatterGrown | SameHour | ShortFromWear
_KINDS: tuple[type[Pattern], ...] = get_args(Pattern)

Aged = Sequence[tuple[RunDown, Run]]


def patterns(
    history: History,
    segment: Segment,
    estimate: Estimate,
    threshold: float,
    *,
    shown: Mapping[str, Shown],
    dial_hours: int,
) -> tuple[Pattern, ...]:
    """What the runs since the last service show, the way it fell first.

    Args:
        history: the whole log read.
        segment: the runs the estimate is made of.
        estimate: what is known of the reserve.
        threshold: the share whose loss counts as a fall.
        shown: what stopped hands showed, by the uid of the note.
        dial_hours: hours the hour hand takes for one round.
    """
    aged = [*zip(ended_since_service(history), segment.runs, strict=True)]
    found: list[Pattern | None] = [
        _way(estimate),
        _below_stated(segment, estimate, threshold) or _below_before(history, segment, estimate, threshold),
        scatter_grown(estimate, [run for _, run in aged]),
        same_hour([_read(ended, shown) for ended, _ in aged], estimate.reserve_h.mid, dial_hours),
        _short_from_wear(aged, estimate.prior, threshold),
    ]
    return tuple(pattern for pattern in found if pattern is not None)


def _way(estimate: Estimate) -> Pattern | None:
    if estimate.fall_probability < TELLING:
        return None
    sudden = estimate.sudden_probability
    if sudden >= TELLING and estimate.change_years is not None:
        return Sudden(sudden, estimate.change_years)
    return Undecided(sudden) if sudden > 1 - TELLING else Gradual(1 - sudden, estimate.per_year)


def _below_stated(segment: Segment, estimate: Estimate, threshold: float) -> NeverReached | None:
    if not segment.serviced or estimate.prior.source != "stated":
        return None
    stated_h = estimate.prior.scale_h
    probability = _less(estimate.baseline_h, Band(*[(1 - threshold) * stated_h] * 3))
    return NeverReached(probability, "stated", stated_h, estimate.baseline_h) if probability >= SURE else None


def _below_before(history: History, segment: Segment, estimate: Estimate, threshold: float) -> NeverReached | None:
    former = _former(history) if segment.serviced else []
    if not former or not _hint(former, estimate.baseline_h.mid):
        return None
    since = former[0].service_at or former[0].started_at
    runs = tuple(Run((run.started_at - since) / YEAR, run.evidence) for run in former)
    before = _kept_reserve(runs, estimate.prior, (history.services[-1] - since) / YEAR)
    probability = _less(estimate.baseline_h, _times(before, 1 - threshold))
    return NeverReached(probability, "before", before.mid, estimate.baseline_h) if probability >= SURE else None


def _former(history: History) -> list[RunDown]:
    """The runs between the last service and the one before it."""
    before = history.services[-2] if len(history.services) > 1 else None
    return [run for run in history.runs if run.service_at == before]


def _hint(former: Sequence[RunDown], baseline_h: float) -> bool:
    """Whether half the stops before the service came later than the reserve after it: else the sum is not worth it."""
    ends = sorted(run.evidence.spans_h[-1][-1] for run in former if run.evidence.ended)
    return len(ends) >= FEW_STOPS and ends[len(ends) // 2] > baseline_h


def _short_from_wear(aged: Aged, prior: Prior, threshold: float) -> ShortFromWear | None:
    crown, wear = ([run for ended, run in aged if ended.started_by == by] for by in ("crown", "wear"))
    crown_mid, wear_mid = _middle(crown), _middle(wear)
    if crown_mid is None or wear_mid is None or wear_mid >= crown_mid:
        return None
    # At the age of the newest run: what has happened since is known of neither.
    last = max(run.age_years for run in crown + wear)
    crown_h, wear_h = (_kept_reserve(tuple(runs), prior, last) for runs in (crown, wear))
    probability = _less(wear_h, _times(crown_h, 1 - threshold))
    return ShortFromWear(probability, crown_h, wear_h) if probability >= SURE else None


def _middle(runs: Sequence[Run]) -> float | None:
    """The middle of the stops' last possible hours; None where there are too few."""
    ends = sorted(run.evidence.spans_h[-1][-1] for run in runs if run.evidence.ended)
    return ends[len(ends) // 2] if len(ends) >= FEW_STOPS else None


@lru_cache(maxsize=1024)
def _kept_reserve(runs: tuple[Run, ...], prior: Prior, now_years: float) -> Band:
    """Kept between calls: the same former runs are asked of again at every look."""
    return reserve_now(runs, prior, now_years=now_years)


def _times(band: Band, share: float) -> Band:
    return Band(share * band.low, share * band.mid, share * band.high)


def _less(first: Band, second: Band) -> float:
    """Probability that the first lies below the second, both taken as log-normal with these points, and independent."""
    width = math.hypot(_log_spread(first), _log_spread(second))
    return 0.5 * math.erfc(math.log(first.mid / second.mid) / (width * math.sqrt(2.0)))


def _log_spread(band: Band) -> float:
    return math.log(band.high / band.low) / (2.0 * FIVE_TO_FIFTY)


def _read(ended: RunDown, shown: Mapping[str, Shown]) -> tuple[datetime, int | None]:
    """When the run began, and what its stopped hands showed (minutes of the dial), if somebody read them."""
    readings = [shown[uid].minutes for uid in (*ended.uids, ended.end_uid) if uid in shown]
    return ended.started_at, readings[-1] if ended.ended_by in {"found stopped", "stop heard"} and readings else None


def pattern_to_dict(pattern: Pattern) -> dict[str, Any]:
    """Plain values for JSON."""
    return {"kind": type(pattern).__name__, **asdict(pattern)}


def pattern_from_dict(stored: Mapping[str, Any]) -> Pattern:
    """Read back what `pattern_to_dict` gave, also after a round trip through JSON."""
    kind = next(kind for kind in _KINDS if kind.__name__ == stored["kind"])
    values: dict[str, Any] = {
        name: Band(**value) if isinstance(value, Mapping) else value for name, value in stored.items()
    }
    return kind(**{name: value for name, value in values.items() if name != "kind"})
