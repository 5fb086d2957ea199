"""One simulated watch, asked again and again while its log grows: what was estimated, beside what is true."""

import math
import random
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from statistics import mean
from typing import Any, Literal

from tests.soak import truth
from tests.soak.life import START, YEAR, live
from tests.soak.owner import answered, read
from tests.soak.truth import Fate, Misfit, Truth
from tracker.core.decline import Signs, find
from tracker.core.evidence import Evidence
from tracker.core.heldback import Foresight, held_back
from tracker.core.reserve import estimate, prior_for
from tracker.core.rundown import History
from tracker.core.segment import Segment, present_segment
from tracker.core.servicerule import NO_RULE
from tracker.core.windby import hours_at_risk
from tracker.foresight import too_long

RISKS = (0.01, 0.05, 0.10)
MONTHS = 2
"""Between two questions, unless told otherwise."""
YEARS = 6
AFTER_DROP = (0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.65, 0.8, 1.0, 1.25, 1.5, 2.0)
TENTH_LOST = {fate: math.log(0.9) / slope for fate, slope in truth.PER_YEAR.items()}
"""Age at which a watch that declines has lost a tenth."""
BEFORE, AFTER = 1, 2
"""Years before and after that in which it is asked."""

Record = dict[str, Any]
Asking = Literal["by the calendar", "at every entry"]


def ages(known: Truth, months: int) -> list[float]:
    """When the estimate is asked for, in years since the service; of a life unlike the model three times as seldom."""
    step = months / 12.0 * (1.0 if known.misfit == "none" else 3.0)
    if known.fate == "stable":
        return [step * (count + 1) for count in range(round(YEARS / step))]
    if known.fate in TENTH_LOST:
        last = TENTH_LOST[known.fate] + AFTER
        return [last - step * count for count in reversed(range(round((BEFORE + AFTER) / step) + 1))]
    return [known.drop_age + later for later in AFTER_DROP]


def lived(
    seed: str,
    habit: str,
    fate: Fate,
    misfit: Misfit = "none",
    asking: Asking = "by the calendar",
    *,
    months: int = MONTHS,
    when: Sequence[float] = (),
) -> Record:
    """Simulate one watch and ask for its reserve; the same words, the same record.

    Asked by the calendar at all `ages`, or at those given; or at every entry that ends a run, for no other one changes
    what the runs tell.
    """
    throws = random.Random(f"{seed}/{habit}/{fate}/{misfit}")
    known = truth.draw(fate, misfit, throws)
    when = when or ages(known, months)
    life = live(habit, known, throws, when[-1])
    foresight = partial(too_long, prior_for(known.stated_h))
    history = answered(life, foresight) if misfit == "forgotten, asked" else read(life)
    if asking == "at every entry":
        when = sorted({(run.ended_at - START) / YEAR for run in history.runs})
    return {
        "habit": habit,
        "fate": fate,
        "misfit": misfit if asking == "by the calendar" else asking,
        "drop_age": round(known.drop_age, 4),
        "scatter": round(known.scatter, 5),
        "asked": [asked(known, segment_then(history, START + age * YEAR, foresight), age) for age in when],
    }


def segment_then(history: History, now: datetime, foresight: Foresight) -> Segment:
    """What was known at `now`: the runs that had ended, but for one held back, and at rest since."""
    ended = tuple(run for run in history.runs if run.ended_at <= now)
    known = replace(history, runs=ended, current=None)
    held = held_back(known, foresight)
    return present_segment(known, now, held.run_uid if held else None)


def asked(known: Truth, segment: Segment, age: float) -> Record:
    """Estimate at one age."""
    found = estimate(segment.runs, prior_for(known.stated_h), now_years=segment.now_years)
    grounds = find(segment, found, Signs(), NO_RULE, START + age * YEAR).grounds
    wind_by = [hours_at_risk(found.next_run, risk) for risk in RISKS]
    true_h = known.median_h(age)
    return {
        "age": round(age, 4),
        "low": round(found.reserve_h.low / true_h, 5),
        "mid": round(found.reserve_h.mid / true_h, 5),
        "high": round(found.reserve_h.high / true_h, 5),
        "stops": [round(share, 6) for share in known.stops_before(wind_by, age)],
        "usable": round(wind_by[1] / true_h, 5),
        "keep": round(grounds.keep, 4),
        "may_raise": grounds.may_raise,
        "naive": naive([run.evidence for run in segment.runs], known.stated_h, true_h),
    }


def naive(told: Sequence[Evidence], stated_h: float, true_h: float) -> list[float | None]:
    """What simpler rules would say, over the true median: see goals.RIVALS. Nothing where a rule has nothing to go by."""
    ended = [_length(run, stated_h) for run in told if run.ended]
    every = [_length(run, stated_h) for run in told if run.kind != "none"]
    said = [_mean(ended), _mean(every), max(every, default=None), 0.9 * stated_h]
    return [None if hours is None else round(hours / true_h, 5) for hours in said]


def _mean(hours: Iterable[float]) -> float | None:
    listed = list(hours)
    return mean(listed) if listed else None


def _length(run: Evidence, stated_h: float) -> float:
    """The one length a simple rule would note: the middle, for the hands the moment nearest to the stated hours."""
    if run.kind == "at_least":
        return run.spans_h[0][0]
    if run.kind == "at_most":
        return run.spans_h[0][1]
    return min(((low + high) / 2.0 for low, high in run.spans_h), key=lambda middle: abs(middle - stated_h))
