"""What is true of a simulated watch: the median run of a full wind at each age, and how single runs scatter about it."""

import math
import random
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

Fate = Literal["stable", "2 % a year", "5 % a year", "drop of 15 %", "drop of 25 %"]
Misfit = Literal[
    "none",
    "gamma scatter",
    "Weibull scatter",
    "seasons",
    "wrong entries",
    "whole hours",
    "forgotten, asked",
    "forgotten, never answered",
    "felt low",
    "stated wrong",
]

PER_YEAR = {"2 % a year": math.log(0.98), "5 % a year": math.log(0.95)}
DROP = {"drop of 15 %": math.log(0.85), "drop of 25 %": math.log(0.75)}
ODD_SHARE, ODD_CENTRE, ODD_SPREAD = 0.03, -0.20, 0.50
SEASON = 0.02
DRAWS = 40_000
NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Truth:
    """One watch: log of its first median over the stated hours, scatter of log hours, what becomes of it."""

    stated_h: float
    level_h: float
    scatter: float
    fate: Fate
    drop_age: float
    misfit: Misfit

    def median_h(self, age: float) -> float:
        """Median run in hours of a full wind at this age in years."""
        change = PER_YEAR.get(self.fate, 0.0) * age
        if age > self.drop_age:
            change += DROP.get(self.fate, 0.0)
        if self.misfit == "seasons":
            change += SEASON * math.sin(2.0 * math.pi * age)
        return self.level_h * math.exp(change)

    def run_h(self, age: float, throws: random.Random) -> float:
        """Length of one run: now and then it is not what the log says."""
        if throws.random() < ODD_SHARE:
            return self.stated_h * math.exp(throws.gauss(ODD_CENTRE, ODD_SPREAD))
        return self.median_h(age) * math.exp(self._throw(throws))

    def _throw(self, throws: random.Random) -> float:
        """Log of a clean run over the median; gamma and Weibull have about the same spread of log hours."""
        if self.misfit == "gamma scatter":
            shape = self.scatter**-2
            median = shape * (1.0 - 1.0 / (9.0 * shape)) ** 3
            return math.log(throws.gammavariate(shape, 1.0) / median)
        if self.misfit == "Weibull scatter":
            shape = math.pi / math.sqrt(6.0) / self.scatter
            return (math.log(throws.expovariate(1.0)) - math.log(math.log(2.0))) / shape
        return throws.gauss(0.0, self.scatter)

    def stops_before(self, hours: list[float], age: float) -> list[float]:
        """Share of clean runs at this age that stop before each of these hours."""
        places = [math.log(hour / self.median_h(age)) for hour in hours]
        if self.misfit == "Weibull scatter":
            shape = math.pi / math.sqrt(6.0) / self.scatter
            return [-math.expm1(-math.log(2.0) * math.exp(shape * place)) for place in places]
        if self.misfit == "gamma scatter":
            throws = random.Random(1)
            drawn = [self._throw(throws) for _ in range(DRAWS)]
            return [sum(one < place for one in drawn) / DRAWS for place in places]
        return [NORMAL.cdf(place / self.scatter) for place in places]


def draw(fate: Fate, misfit: Misfit, throws: random.Random) -> Truth:
    """A hand-wound watch of a day or two. Its maker's figure is off by some 10 %, a run by some 4 %."""
    stated_h = float(throws.choice((36, 38, 40, 42, 44, 46, 48)))
    level_h = stated_h * math.exp(throws.gauss(-0.02, 0.10))
    scatter = 0.038 * math.exp(throws.gauss(0.0, 0.3))
    drop_age = throws.uniform(2.0, 3.0)
    if misfit == "stated wrong":
        stated_h *= math.exp(throws.choice((-0.15, 0.15)))
    return Truth(stated_h, level_h, scatter, fate, drop_age, misfit)
