"""What the estimate is held to, by habit of use: bounds that a figure must lie in."""

import math

from scipy import stats

Bounds = tuple[float, float]

DAILY, SKIPS, ROTATES, HANDS, WEEKEND, SENSOR, BENCH = (
    "daily, all “at least”",
    "skips 3 % of days",
    "rotates five",
    "rotates five, reads the hands",
    "weekend",
    "rest sensor",
    "daily, a run-down every six months",
)
RIVALS = ("mean of run-downs that ended", "mean of all lengths", "longest seen", "stated less 10 %")

EVERYWHERE: dict[str, Bounds] = {
    "held": (0.87, 0.97),
    "held after a drop": (0.78, 1.0),
    "stops at 1 %": (0.0, 0.02),
    "stops at 5 %": (0.01, 0.065),
    "stops at 10 %": (0.03, 0.115),
    "false cues": (0.0, 1.0),
}
BY_HABIT: dict[str, dict[str, float]] = {
    "error": {SENSOR: 0.005, BENCH: 0.02, SKIPS: 0.04, WEEKEND: 0.04, ROTATES: 0.04, HANDS: 0.015},
    "usable": {DAILY: 0.74, SKIPS: 0.87, ROTATES: 0.89, HANDS: 0.89, WEEKEND: 0.88, BENCH: 0.91, SENSOR: 0.93},
    "caught, drop of 25 %": dict.fromkeys((SKIPS, ROTATES, HANDS, WEEKEND, BENCH, SENSOR), 0.5),
    "caught, 5 % a year": {SENSOR: 0.85, BENCH: 0.85, WEEKEND: 0.85, ROTATES: 0.80, HANDS: 0.80, SKIPS: 0.65},
}
WITHIN_YEARS = {SENSOR: 0.1, WEEKEND: 0.3, ROTATES: 0.3, HANDS: 0.3, SKIPS: 0.8, BENCH: 0.8}
"""By when half of the drops of 25 % should have been seen; for a daily winder, who tells nothing, a year is printed."""


def goal(figure: str, habit: str) -> Bounds | None:
    """The bounds for a figure, if it has any."""
    if figure == "held" and habit == DAILY:
        return 0.87, 1.0
    if figure in EVERYWHERE:
        return EVERYWHERE[figure]
    bound = BY_HABIT.get(figure, {}).get(habit)
    if bound is None:
        return None
    return (0.0, bound) if figure == "error" else (bound, math.inf)


def verdict(value: float, error: float, watches: int, bounds: Bounds) -> str:
    """Met; not contradicted at 95 %, by Student's t for so few watches; or missed."""
    low, high = bounds
    if low <= value <= high:
        return "met"
    reach = math.inf if watches < 2 else float(stats.t.ppf(0.975, watches - 1)) * error
    return "not contradicted" if low - reach <= value <= high + reach else "missed"
