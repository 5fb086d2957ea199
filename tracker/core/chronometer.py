"""The seven figures of ISO 3159 (wrist chronometers) from daily rates, as far as they go: a sum, not a certificate.

Programme, formulas and limits as read in public summaries of ISO 3159:1976 and 2009 (a weblog entry of 14 April 2005; web
pages of a Swiss testing body and observatory; a forum transcript): days 1–2 6H, 3–4 3H, 5–6 9H, 7–8 dial down, 9–13 dial
up, 14–15 6H; 23 °C but for day 11 (8 °C) and day 13 (38 °C). That the two sizes part at 20 mm is read; their limits by
plan area are not.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from tracker.core.timing import Position, Reading

Criterion = Literal[
    "mean daily rate",
    "mean variation in rates",
    "greatest variation in rates",
    "difference between hanging and flat",
    "greatest difference from the mean",
    "variation by temperature",
    "resumption of rate",
]

PROGRAMME: tuple[Position, ...] = (
    *("6H", "6H", "3H", "3H", "9H", "9H", "CB", "CB"),
    *("CH", "CH", "CH", "CH", "CH", "6H", "6H"),
)
"""The position of each day, from the first."""
ROOM_C, COLD_C, WARM_C = 23.0, 8.0, 38.0
COLD_DAY, WARM_DAY = 11, 13
NEAR_C = 1.0
"""A day's temperature may be off by so much (ISO 3159 asks for the like; from memory)."""

LIMITS: dict[Criterion, tuple[tuple[float, float], tuple[float, float]]] = {
    "mean daily rate": ((-4.0, 6.0), (-5.0, 8.0)),
    "mean variation in rates": ((0.0, 2.0), (0.0, 3.4)),
    "greatest variation in rates": ((0.0, 5.0), (0.0, 7.0)),
    "difference between hanging and flat": ((-6.0, 8.0), (-8.0, 10.0)),
    "greatest difference from the mean": ((0.0, 10.0), (0.0, 15.0)),
    "variation by temperature": ((-0.6, 0.6), (-0.7, 0.7)),
    "resumption of rate": ((-5.0, 5.0), (-6.0, 6.0)),
}
"""Least and greatest of movements over 20 mm, and of 20 mm and under; seconds a day, by temperature a degree."""

_FIRST_TEN = range(1, 11)


@dataclass(frozen=True, slots=True)
class Result:
    """One criterion: its value (None: days are missing), and whether it lies within the limits of either size."""

    criterion: Criterion
    value: float | None
    missing_days: tuple[int, ...]
    within_large: bool | None
    within_small: bool | None


def daily_rates(readings: Iterable[Reading]) -> dict[int, float]:
    """The rate of each day of the programme: the newest reading of that day in its position and at its temperature.

    A temperature not noted is taken for the room's, and so serves neither the cold nor the warm day.
    """
    found: dict[int, float] = {}
    for each in sorted(readings, key=lambda each: each.at):
        day, rate = each.programme_day, each.rate_s_per_day
        if day is None or rate is None or PROGRAMME[day - 1] != each.position:
            continue
        if abs((ROOM_C if each.temperature_c is None else each.temperature_c) - _temperature_c(day)) <= NEAR_C:
            found[day] = rate
    return found


def seven_figures(rates: dict[int, float]) -> tuple[Result, ...]:
    """The seven criteria from daily rates by day of the programme (1 to 15)."""
    ten, pairs = list(_FIRST_TEN), [(day, day + 1) for day in range(1, 11, 2)]

    def mean() -> float:
        return sum(rates[day] for day in ten) / len(ten)

    def variations() -> list[float]:
        return [abs(rates[first] - rates[second]) for first, second in pairs]

    def of(criterion: Criterion, days: Sequence[int], value: float | None) -> Result:
        missing = tuple(day for day in days if day not in rates)
        if missing or value is None:
            return Result(criterion, None, missing, None, None)
        large, small = (low <= value <= high for low, high in LIMITS[criterion])
        return Result(criterion, value, (), large, small)

    def have(days: Sequence[int]) -> bool:
        return all(day in rates for day in days)

    whole, hanging, thermal, last = have(ten), [1, 2, 9, 10], [COLD_DAY, WARM_DAY], [1, 2, 15]
    return (
        of("mean daily rate", ten, mean() if whole else None),
        of("mean variation in rates", ten, sum(variations()) / len(pairs) if whole else None),
        of("greatest variation in rates", ten, max(variations()) if whole else None),
        of("difference between hanging and flat", hanging, _hang_flat(rates) if have(hanging) else None),
        of("greatest difference from the mean", ten, max(abs(rates[day] - mean()) for day in ten) if whole else None),
        of("variation by temperature", thermal, _thermal(rates) if have(thermal) else None),
        of("resumption of rate", last, rates[15] - (rates[1] + rates[2]) / 2.0 if have(last) else None),
    )


def _hang_flat(rates: dict[int, float]) -> float:
    return (rates[1] + rates[2]) / 2.0 - (rates[9] + rates[10]) / 2.0


def _thermal(rates: dict[int, float]) -> float:
    return (rates[WARM_DAY] - rates[COLD_DAY]) / (WARM_C - COLD_C)


def _temperature_c(day: int) -> float:
    return {COLD_DAY: COLD_C, WARM_DAY: WARM_C}.get(day, ROOM_C)
