"""From records of simulated watches to figures with their standard errors: a watch, not an evaluation, is one draw."""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from statistics import NormalDist

import numpy as np

from tests.soak.evaluate import AFTER, TENTH_LOST, Record
from tests.soak.goals import RIVALS, WITHIN_YEARS
from tests.soak.truth import DROP
from tracker.core.cue import Grounds, next_cue

RESAMPLED = 200
CLOSE = 1e-3

Found = tuple[float | None, float | None]
"""A figure and its standard error; none where it can't be told."""
Figure = dict[str, str | float | int | None]
Told = tuple[str, Found, int]
"""A figure's name, the figure, and of how many watches."""
Samples = list[tuple[float, float]]
"""What one watch adds to a mean: value and weight."""


def figures(records: Iterable[Record]) -> list[Figure]:
    """All figures of all habits, sorted by misfit and habit as they come."""
    groups: dict[tuple[str, str], list[Record]] = defaultdict(list)
    for record in records:
        groups[record["misfit"], record["habit"]].append(record)
    return [
        {"misfit": misfit, "habit": habit, "figure": name, "value": _short(value), "se": _short(se), "watches": count}
        for (misfit, habit), group in sorted(groups.items())
        for name, (value, se), count in _of_habit(habit, group)
    ]


def _short(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.4g}")


def _of_habit(habit: str, records: list[Record]) -> Iterator[Told]:
    fates: dict[str, list[Record]] = defaultdict(list)
    for record in records:
        fates[record["fate"]].append(record)
    gradual = fates["stable"] + fates["2 % a year"] + fates["5 % a year"]
    if gradual:
        yield "held", _held_share(gradual), len(gradual)
        for at, risk in enumerate((1, 5, 10)):
            yield f"stops at {risk} %", _mean(_stops(one, at) for one in gradual), len(gradual)
    if dropped := fates["drop of 15 %"] + fates["drop of 25 %"]:
        yield "held after a drop", _held_share(dropped), len(dropped)
    if stable := fates["stable"]:
        yield from ((name, found, len(stable)) for name, found in _steady(stable))
    for fate in ("drop of 25 %", "drop of 15 %", "5 % a year", "2 % a year"):
        if falling := fates[fate]:
            within = WITHIN_YEARS.get(habit, 1.0) if fate in DROP else AFTER
            yield f"caught, {fate}", _share([_delay(one) <= within + CLOSE for one in falling]), len(falling)
            yield f"delay, {fate}", _median([_delay(one)] for one in falling), len(falling)


def _steady(stable: list[Record]) -> Iterator[tuple[str, Found]]:
    yield "error", _median([abs(ask["mid"] - 1.0) for ask in one["asked"]] for one in stable)
    yield "half-width", _median(map(_half_widths, stable))
    yield "usable", _mean([(ask["usable"], 1.0) for ask in one["asked"]] for one in stable)
    yield "false cues", _false_cues(stable)
    for at, rival in enumerate(RIVALS):
        yield f"error, {rival}", _median([abs(said - 1.0) for said in _said(one, at)] for one in stable)
        yield f"stops at {rival}", _mean(_rival_stops(one, at) for one in stable)


# What one watch tells.


def _held(record: Record) -> Samples:
    """Whether the band holds the truth; after a drop weighted by the time that an answer stands for."""
    asked = record["asked"]
    weights = [1.0] * len(asked)
    if record["fate"].startswith("drop"):
        ages = [ask["age"] for ask in asked]
        weights = [late - soon for soon, late in zip([ages[0], *ages], ages, strict=False)]
    return [(float(ask["low"] <= 1.0 <= ask["high"]), weight) for ask, weight in zip(asked, weights, strict=True)]


def _stops(record: Record, at: int) -> Samples:
    return [(ask["stops"][at], 1.0) for ask in record["asked"]]


def _half_widths(record: Record) -> list[float]:
    return [(ask["high"] - ask["low"]) / 2.0 / ask["mid"] for ask in record["asked"]]


def raised(record: Record) -> list[float]:
    """Ages at which a cue is raised, by the program's own rule."""
    ages, cue = [], None
    for ask in record["asked"]:
        turn = next_cue(cue, Grounds(keep=ask["keep"], advised=0.0, may_raise=ask["may_raise"]))
        if turn is not None:
            cue = turn.cue
            if turn.why == "raised":
                ages.append(ask["age"])
    return ages


def _delay(record: Record) -> float:
    """Years from the truth having fallen (by a tenth, or suddenly) to the first cue; endless if none came."""
    fate = record["fate"]
    fell = TENTH_LOST[fate] if fate in TENTH_LOST else record["drop_age"]
    return min(raised(record), default=math.inf) - fell


# Together.


def _held_share(records: list[Record]) -> Found:
    """Its error does not vanish where every band held."""
    value, error = _mean(map(_held, records))
    return value, error or _share([True] * len(records))[1]


def _false_cues(records: list[Record]) -> Found:
    """Per hundred watch-years."""
    years = sum(record["asked"][-1]["age"] for record in records)
    cues = sum(len(raised(record)) for record in records)
    return 100.0 * cues / years, 100.0 * math.sqrt(max(1, cues)) / years


def _said(record: Record, at: int) -> list[float]:
    return [ask["naive"][at] for ask in record["asked"] if ask["naive"][at] is not None]


def _rival_stops(record: Record, at: int) -> Samples:
    chance = NormalDist(sigma=record["scatter"])
    return [(chance.cdf(math.log(said)), 1.0) for said in _said(record, at)]


def _mean(watches: Iterable[Samples]) -> Found:
    """A mean over evaluations, its error by the differences between watches."""
    sums = np.array([[sum(v * w for v, w in one), sum(w for _, w in one)] for one in watches if one])
    if len(sums) < 2:
        return (None if not len(sums) else float(sums[0, 0] / sums[0, 1])), None
    value = float(sums[:, 0].sum() / sums[:, 1].sum())
    off = sums[:, 0] - value * sums[:, 1]
    spread = math.sqrt(len(sums) / (len(sums) - 1) * float(off @ off)) / float(sums[:, 1].sum())
    return value, spread if spread > 0.0 else _share([value > 0.5] * len(sums))[1]


def _share(hits: Sequence[bool]) -> Found:
    """A share of watches; its error does not vanish where all or none were counted."""
    pulled = (sum(hits) + 1) / (len(hits) + 2)
    return sum(hits) / len(hits), math.sqrt(pulled * (1.0 - pulled) / len(hits))


def _median(watches: Iterable[Sequence[float]]) -> Found:
    """A median over evaluations, its error by drawing watches anew."""
    told = [np.array(one) for one in watches if len(one)]
    if not told:
        return None, None
    value = _middle(np.concatenate(told))
    chance = np.random.default_rng(0)
    again = [
        _middle(np.concatenate([told[at] for at in chance.integers(len(told), size=len(told))]))
        for _ in range(RESAMPLED)
    ]
    if not math.isfinite(value):
        return None, None
    return value, float(np.std(again)) if len(told) > 1 and all(map(math.isfinite, again)) else None


def _middle(values: "np.ndarray[tuple[int, ...], np.dtype[np.float64]]") -> float:
    """The lower of the two middle values where there are two: half have come by then."""
    return float(np.sort(values)[(values.size - 1) // 2])
