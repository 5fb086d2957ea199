"""What the log of a watch says of its decline: how likely each step of a cue is, when bounds are reached, and how it fell.

Steps (the program's own rule): *keep an eye* once the reserve has fallen by the owner's threshold since the service, or
lies below the owner's least reserve; *service advised* once it has fallen by twice the threshold, or by the threshold and
the owner's interval of years is past or the amplitude after 24 h is low. Age alone is no step: it is told as due by the
owner's rule. Nor is an amplitude alone: it is told on the page of readings.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Literal

from tracker.core.cue import RAISE, REARM, Grounds, Step
from tracker.core.evidence import NONE
from tracker.core.likelihood import Run
from tracker.core.paths import Passing
from tracker.core.pattern import Pattern, pattern_from_dict, pattern_to_dict, patterns
from tracker.core.reserve import Estimate, estimate
from tracker.core.rundown import History
from tracker.core.segment import YEAR, Segment, ended_since_service
from tracker.core.servicerule import NO_RULE, Rule, due_at
from tracker.core.spread import Band
from tracker.core.timeline import Entry, Shown, Sighting, Wind
from tracker.core.timing import Figure
from tracker.core.watch import Watch

LEAST_STOPS = 2
"""So many runs since the service must tell from both sides when they ended before anything is said: one may be a slip of
the pen, and "at most" alone does not tell a short run from a late look."""
ENDS = ("exact", "between", "one_of")

Evidence = Literal["enough", "no stop", "at most only", "one stop", "no run"]
Reason = Literal["fallen", "below least", "fallen far", "fallen and due", "fallen and low"]


@dataclass(frozen=True, slots=True)
class Falls:
    """Probability that the reserve has fallen by the threshold, by twice that, and below the owner's least."""

    once: float
    twice: float
    below: float


@dataclass(frozen=True, slots=True)
class Signs:
    """What takes time to work out, kept beside the estimate.

    `without_rests` is how likely the falls are without the first runs after long rests, None where that changes nothing.
    """

    patterns: tuple[Pattern, ...] = ()
    without_rests: Falls | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        rests = self.without_rests and asdict(self.without_rests)
        return {"patterns": [pattern_to_dict(each) for each in self.patterns], "without_rests": rests}

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "Signs":
        """Read back what `to_dict` gave, also after a round trip through JSON."""
        rests = stored["without_rests"] and Falls(**stored["without_rests"])
        return cls(tuple(pattern_from_dict(each) for each in stored["patterns"]), rests)


def signs(
    watch: Watch, history: History, segment: Segment, found: Estimate, threshold: float, *, entries: Iterable[Entry]
) -> Signs:
    """Look through the runs of an estimate made of this segment with this threshold and the watch's least reserve.

    `entries` is the log, for what stopped hands showed. Nothing is seen before LEAST_STOPS.
    """
    if stops(found) < LEAST_STOPS:
        return Signs()
    shown = hands_read(entries)
    told = patterns(history, segment, found, threshold, shown=shown, dial_hours=watch.dial_hours)
    aged = list(zip(ended_since_service(history), segment.runs, strict=True))
    if _falls(found).once < REARM or not any(ended.after_rest and run.evidence.spans_h for ended, run in aged):
        return Signs(told)
    runs = [Run(run.age_years, NONE) if ended.after_rest else run for ended, run in aged]
    others = estimate(
        runs, found.prior, now_years=segment.now_years, threshold=threshold, least_h=watch.least_reserve_h
    )
    return Signs(told, _falls(others))


def hands_read(entries: Iterable[Entry]) -> dict[str, Shown]:
    """What stopped hands showed, by the uid of the note."""
    return {each.uid: each.shown for each in entries if isinstance(each, Wind | Sighting) and each.shown is not None}


def stops(found: Estimate) -> int:
    """How many runs since the service ended in a stop that is known from both sides."""
    return sum(found.evidence.get(kind, 0) for kind in ENDS)


def _falls(found: Estimate) -> Falls:
    fallen = found.fallen
    # Sums of many masses may come out a hair above one.
    return Falls(min(1.0, found.fall_probability), fallen.twice_probability, fallen.below_probability)


@dataclass(frozen=True, slots=True)
class Dates:
    """A date by its 5, 50 and 95 % points."""

    low: datetime
    mid: datetime
    high: datetime


@dataclass(frozen=True, slots=True)
class Forecast:
    """By when a bound was or will be reached with a chance of 5, 50 and 95 %, None where it never is so likely.

    `chance` is that of its being reached within tracker.core.paths.FORECAST_YEARS.
    """

    chance: float
    low: datetime
    mid: datetime | None
    high: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What is to be said of the decline of one watch.

    `evidence` tells whether there is enough to speak of a step; `stops`, `at_most` and `going` count the runs since the
    service whose stop is known from both sides, those of which only "at most", and those of which only "at least" is known. `grounds` go to `next_cue`. `lost` is the share of the
    reserve after service gone by now. `sudden_at` is when it dropped, if `sudden_probability` is worth a date. `reached`
    is for the threshold, `least` for the owner's least reserve, both only with enough evidence. `since` is the service, or the first run noted where none
    is known (`serviced`); `due_at` is when the owner's `rule` wants the next service, None where it tells no date.
    `low_amplitude` is what a low amplitude after 24 h stands on, None where none speaks for a service.
    """

    evidence: Evidence
    stops: int
    going: int
    at_most: int = 0
    grounds: Grounds
    falls: Falls
    lost: Band
    sudden_probability: float
    sudden_at: Dates | None
    reached: Forecast | None
    least: Forecast | None
    patterns: tuple[Pattern, ...]
    since: datetime | None
    serviced: bool
    years: float
    rule: Rule = NO_RULE
    due_at: datetime | None
    due: bool
    low_amplitude: Figure | None = None


def find(
    segment: Segment,
    found: Estimate,
    seen: Signs,
    rule: Rule,
    now: datetime,
    *,
    low_amplitude: Figure | None = None,
) -> Finding:
    """Put together what an estimate made of this segment, and the signs beside it, say at a moment.

    First runs after a long rest raise nothing: what they say counts only as far as the other runs say it, too. A run
    held back is no part of the estimate. `rule` is the owner's, for when the next service is due; `low_amplitude` as
    `timing.low_after_24h` tells it.
    """
    when = due_at(rule, segment.since if segment.serviced else None)
    due = when is not None and when <= now
    evidence, falls = _evidence(found), _falls(found)
    enough = evidence == "enough"
    ways = [falls, *([seen.without_rests] if seen.without_rests else [])]
    return Finding(
        evidence=evidence,
        stops=stops(found),
        going=found.evidence.get("at_least", 0),
        at_most=found.evidence.get("at_most", 0),
        grounds=_grounds(ways, segment, evidence, beside=due or low_amplitude is not None),
        falls=falls,
        lost=found.fallen.lost,
        sudden_probability=found.sudden_probability,
        sudden_at=_dates(segment, found.change_years),
        reached=_forecast(segment, found.threshold_chance, found.threshold_years) if enough else None,
        least=_forecast(segment, found.fallen.below_chance, found.fallen.below_years) if enough else None,
        patterns=seen.patterns,
        since=segment.since,
        serviced=segment.serviced,
        years=0.0 if segment.since is None else max(0.0, (now - segment.since) / YEAR),
        rule=rule,
        due_at=when,
        due=due,
        low_amplitude=low_amplitude,
    )


def reason(finding: Finding, step: Step) -> Reason:
    """Which of the reasons for a step is the stronger now."""
    falls = finding.falls
    if step == "keep an eye":
        return "fallen" if falls.once >= falls.below else "below least"
    if falls.twice >= RAISE or not (finding.due or finding.low_amplitude):
        return "fallen far"
    return "fallen and due" if finding.due else "fallen and low"


def _evidence(found: Estimate) -> Evidence:
    count = stops(found)
    if count >= LEAST_STOPS:
        return "enough"
    if count:
        return "one stop"
    if found.evidence.get("at_most", 0):
        return "at most only"
    return "no stop" if found.evidence.get("at_least", 0) else "no run"


def _grounds(falls: Sequence[Falls], segment: Segment, evidence: Evidence, *, beside: bool) -> Grounds:
    """Of several ways to look at it, the mildest counts."""
    likely = [_steps(each, beside=beside) for each in falls]
    keep = min(each for each, _ in likely)
    return Grounds(
        keep=keep,
        advised=min(keep, *(each for _, each in likely)),
        may_raise=evidence == "enough",
        service_at=segment.since if segment.serviced else None,
    )


def _steps(falls: Falls, *, beside: bool) -> tuple[float, float]:
    """How likely *keep an eye* and *service advised* are: one reason is enough. `beside` a fall there is age or amplitude."""
    return max(falls.once, falls.below), max(falls.twice, falls.once if beside else 0.0)


def _dates(segment: Segment, years: Band | None) -> Dates | None:
    if years is None or segment.since is None:
        return None
    return Dates(*(segment.since + age * YEAR for age in (years.low, years.mid, years.high)))


def _forecast(segment: Segment, chance: float, years: Passing | None) -> Forecast | None:
    if years is None or segment.since is None:
        return None
    since = segment.since
    mid, high = (None if age is None else since + age * YEAR for age in (years.mid, years.high))
    return Forecast(chance, since + years.low * YEAR, mid, high)
