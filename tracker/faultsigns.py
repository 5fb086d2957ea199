"""The signs of a fault that there are of a watch: those the log and the readings give, and those a bench noted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tracker.core.decline import LEAST_STOPS, stops
from tracker.core.faults import WORDS, Belief, Kind, Sign, compared, higher, lower, sure
from tracker.core.pattern import Gradual, NeverReached, ShortFromWear, Sudden
from tracker.core.samehour import SameHour
from tracker.core.timing import (
    GOOD_FLAT_DEG,
    LARGE_RATE_S,
    LEAST_AFTER_24H_DEG,
    Figure,
    Reading,
    amplitude_after_24h,
    amplitude_full,
    newest_sitting,
    summary,
)
from tracker.core.watch import Watch
from tracker.figures import Figures

AMPLITUDE_SCATTER_DEG = 8.0
"""One reading of an amplitude beside another (common practice, no source) …"""
AMPLITUDE_APART_DEG = 12.0
"""… counts as lower beyond this."""
SCATTER_SHARE, APART_SHARE = 0.03, 0.06
"""A count or a torque beside what is expected: its scatter, and from where on it counts as fewer or more …"""
SCATTER_LEAST, APART_LEAST = 0.25, 0.5
"""… at least these (turns, N mm)."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A sign with how likely each of its words is, and where it comes from."""

    belief: Belief
    source: str


def kind_of(watch: Watch, alloy: str = "") -> Kind:
    """What parts it has; an alloy not said to be blued or carbon steel counts as white."""
    steel = any(word in alloy.casefold() for word in ("blue", "carbon", "steel"))
    return Kind(
        rotor=watch.by_rotor,
        calendar=watch.date_window or watch.stake != "time only",
        white_alloy=bool(alloy) and not steel,
    )


def signs_of(
    each: Figures | None, readings: Sequence[Reading], turns: Sequence[float], noted: Sequence[Mapping[str, Any]]
) -> dict[Sign, Seen]:
    """Every sign known by now; what the bench noted stands above what log and readings give.

    `turns` are crown turns counted from stopped to full since the last service, oldest first; the first of them, where
    there are several, is what they should be.
    """
    found: dict[Sign, Seen] = {}
    if each is not None:
        found |= _of_log(each, turns)
    found |= _of_readings(readings)
    for row in noted:
        found[row["sign"]] = Seen(
            belief_of(row["sign"], row["word"], row["figure"], row["expected"]), "noted at the bench"
        )
    return found


def belief_of(sign: Sign, word: str, figure: float | None, expected: float | None) -> Belief:
    """What one noted sign says: its word, or a figure beside what it should be."""
    if figure is None or expected is None:
        return sure(word)
    if sign == "amplitude at equal turns":
        return lower(figure, expected, AMPLITUDE_SCATTER_DEG, AMPLITUDE_APART_DEG)
    scatter = max(SCATTER_LEAST, SCATTER_SHARE * expected)
    apart = max(APART_LEAST, APART_SHARE * expected)
    if sign == "turns left":
        return higher(figure, expected, scatter, apart)
    if sign == "torque at equal turns":
        return lower(figure, expected, SCATTER_SHARE * expected, APART_SHARE * expected)
    return compared(figure, expected, scatter, apart)


def _of_log(each: Figures, turns: Sequence[float]) -> dict[Sign, Seen]:
    found: dict[Sign, Seen] = {}
    if stops(each.estimate) >= LEAST_STOPS:
        fallen = min(1.0, each.estimate.fall_probability)
        found["run-down"] = Seen({"shorter": fallen, "same": 1.0 - fallen}, "the log")
        found["stops at one hour"] = Seen(sure("no"), "the log")
    for pattern in each.signs.patterns:
        found |= _of_pattern(pattern)
    expected = each.watch.crown_turns_to_full or (turns[0] if len(turns) > 1 else None)
    if turns and expected:
        found["turns from stopped"] = Seen(belief_of("turns from stopped", "", turns[-1], expected), "the log")
    return found


def _of_pattern(pattern: object) -> dict[Sign, Seen]:
    if isinstance(pattern, Gradual):
        return {"came": Seen(_came("slowly", pattern.probability), "the log")}
    if isinstance(pattern, Sudden):
        return {"came": Seen(_came("in a step", pattern.probability), "the log")}
    if isinstance(pattern, NeverReached):
        return {"came": Seen(_came("after service", pattern.probability), "the log")}
    if isinstance(pattern, SameHour):
        return {"stops at one hour": Seen(sure("yes"), "the log")}
    if isinstance(pattern, ShortFromWear):
        told = {"short from wear only": pattern.probability, "both alike": 1.0 - pattern.probability}
        return {"crown and wear": Seen(told, "the log")}
    return {}


def _came(word: str, probability: float) -> Belief:
    others = [each for each in WORDS["came"] if each != word]
    return {word: probability, **{each: (1.0 - probability) / len(others) for each in others}}


def _of_readings(readings: Sequence[Reading]) -> dict[Sign, Seen]:
    """Amplitudes beside those after the service, else beside what is usual; never with a lift angle assumed."""
    newest = newest_sitting(readings)
    after = [each for each in newest_sitting(readings, "after service") if each not in newest]
    found: dict[Sign, Seen] = {}
    pairs: tuple[tuple[Sign, Figure | None, Figure | None, float], ...] = (
        ("amplitude full", amplitude_full(newest), amplitude_full(after), GOOD_FLAT_DEG[0]),
        ("amplitude after 24 h", amplitude_after_24h(newest), amplitude_after_24h(after), LEAST_AFTER_24H_DEG),
    )
    for sign, now, then, usual in pairs:
        if now is None or now.assumed:
            continue
        if then is not None and not then.assumed:
            found[sign] = Seen(lower(now.value, then.value, AMPLITUDE_SCATTER_DEG, AMPLITUDE_APART_DEG), "readings")
        else:
            found[sign] = Seen(lower(now.value, usual, AMPLITUDE_SCATTER_DEG, 0.0), "readings")
    rate = summary(newest).full.mean_rate if newest else None
    if rate is not None:
        found["rate"] = Seen(sure("very large" if abs(rate.value) > LARGE_RATE_S else "usual"), "readings")
    return found
