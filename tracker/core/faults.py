"""Which part is it? Odds of faults from the signs that were entered: likelihoods, not verdicts.

Three kinds of knowledge stand behind them, told apart in LIKELY. Signs marked *sums* follow from the sums of
tracker.core.barrel (a set spring has lost free turns, a slipping bridle coils, a hindered train wants more torque);
those marked *common practice* have no source, nor have the priors and the share of readings that mislead (MISLEADS).

The log alone – the run-down, crown turns from stopped, amplitudes by the clock – says the same of a set spring and of an
early slip: their likelihoods are equal for those signs, and only turns left at the stop, a count from let down, a
torque gauge or an amplitude at equal turns left parts them.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Fault = Literal[
    "nothing amiss",
    "spring set",
    "slips early",
    "friction in the train",
    "winding slips",
    "broken spring",
    "wrong spring fitted",
    "magnetised",
    "loaded by the calendar",
    "too little wear",
]
Sign = Literal[
    "run-down",
    "turns from stopped",
    "turns from let down",
    "turns left",
    "amplitude full",
    "amplitude after 24 h",
    "amplitude at equal turns",
    "torque at equal turns",
    "came",
    "stops at one hour",
    "crown and wear",
    "rate",
]
Word = str
FAULTS: tuple[Fault, ...] = get_args(Fault)
SIGNS: tuple[Sign, ...] = get_args(Sign)

WORDS: dict[Sign, tuple[Word, ...]] = {
    "run-down": ("same", "shorter"),
    "turns from stopped": ("fewer", "same", "more"),
    "turns from let down": ("fewer", "same", "more"),
    "turns left": ("same", "more"),
    "amplitude full": ("same", "lower"),
    "amplitude after 24 h": ("same", "lower"),
    "amplitude at equal turns": ("same", "lower"),
    "torque at equal turns": ("same", "lower"),
    "came": ("slowly", "after service", "in a step"),
    "stops at one hour": ("no", "yes"),
    "crown and wear": ("both alike", "short from wear only"),
    "rate": ("usual", "very large"),
}
"""What can be entered of each sign."""

FIGURES: frozenset[Sign] = frozenset(
    {"turns from stopped", "turns from let down", "turns left", "amplitude at equal turns", "torque at equal turns"}
)
"""Signs that may be entered as a figure beside what it should be."""

MISLEADS = 0.12
"""Of so many signs the opposite of what is to be expected is read (common practice, no source)."""

_SAME = {sign: words[0] for sign, words in WORDS.items()} | {
    "turns from stopped": "same",
    "turns from let down": "same",
}
_SET_OR_SLIP: dict[Sign, Word] = {
    "run-down": "shorter",
    "turns from stopped": "fewer",
    "amplitude full": "lower",
    "amplitude after 24 h": "lower",
}
EXPECTED: dict[Fault, dict[Sign, Word | None]] = {
    # what is not named is as if nothing were amiss; None: it varies
    "nothing amiss": {"came": None},
    # sums: fewer free turns leave less torque everywhere, the same coils; common practice: it comes slowly
    "spring set": {
        **_SET_OR_SLIP,
        "turns left": "more",
        "amplitude at equal turns": "lower",
        "torque at equal turns": "lower",
        "came": "slowly",
    },
    # sums: coils are missing at full wind, nothing else; common practice: after grease at a service, or in a step
    "slips early": {**_SET_OR_SLIP, "turns from let down": "fewer", "came": "after service"},
    # sums: the train stops at a higher torque, so with more turns left; common practice: it comes slowly
    "friction in the train": {
        **_SET_OR_SLIP,
        "turns left": "more",
        "amplitude at equal turns": "lower",
        "came": "slowly",
    },
    # common practice: turns of the crown do not arrive
    "winding slips": {
        "run-down": None,
        "turns from stopped": "more",
        "turns from let down": "more",
        "amplitude full": None,
        "amplitude after 24 h": "lower",
        "came": "in a step",
    },
    # common practice: from then on the crown turns without end and little or no power comes
    "broken spring": {
        "run-down": "shorter",
        "turns from stopped": "more",
        "turns from let down": "more",
        "amplitude full": "lower",
        "amplitude after 24 h": "lower",
        "amplitude at equal turns": "lower",
        "torque at equal turns": "lower",
        "came": "in a step",
    },
    # sums: another strip has other turns and another torque; it comes with the service that fitted it
    "wrong spring fitted": {
        "run-down": "shorter",
        "turns from stopped": None,
        "turns from let down": None,
        "turns left": None,
        "amplitude full": None,
        "amplitude after 24 h": "lower",
        "torque at equal turns": "lower",
        "came": "after service",
    },
    # common practice: coils of the hairspring cling, it gains much
    "magnetised": {"rate": "very large", "run-down": None, "amplitude full": "lower", "came": "in a step"},
    # common practice: it stops while the calendar is moved
    "loaded by the calendar": {"run-down": "shorter", "stops at one hour": "yes", "turns left": "more", "came": None},
    # common practice: wound by the crown it runs its time, from the wrist it does not
    "too little wear": {"run-down": None, "crown and wear": "short from wear only", "came": None},
}
SUMS: frozenset[Sign] = frozenset(
    {
        "run-down",
        "turns from stopped",
        "turns from let down",
        "turns left",
        "amplitude full",
        "amplitude after 24 h",
        "amplitude at equal turns",
        "torque at equal turns",
    }
)
"""Signs whose likelihoods follow from the sums of the barrel; the others are common practice, no source."""

PRIORS: dict[Fault, float] = {
    "nothing amiss": 6.0,
    "spring set": 3.0,
    "slips early": 3.0,
    "friction in the train": 6.0,
    "winding slips": 1.0,
    "broken spring": 0.5,
    "wrong spring fitted": 0.7,
    "magnetised": 0.7,
    "loaded by the calendar": 0.7,
    "too little wear": 2.0,
}
"""Odds before anything was entered (common practice, no source): oils age first."""
SETS_LESS = 0.3
"""A white alloy sets so much less often than blued steel (common practice, no source)."""

EFFORT_MIN: dict[Sign, float] = {
    "run-down": 30.0,
    "turns from stopped": 2.0,
    "turns from let down": 20.0,
    "turns left": 15.0,
    "amplitude full": 5.0,
    "amplitude after 24 h": 5.0,
    "amplitude at equal turns": 15.0,
    "torque at equal turns": 45.0,
    "came": 1.0,
    "stops at one hour": 5.0,
    "crown and wear": 10.0,
    "rate": 3.0,
}
"""Minutes at the bench (from memory; common practice)."""

Belief = Mapping[Word, float]
"""How likely each word of a sign is, of what was read; a word read for sure has 1."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What there is to fail: a rotor winds it; it has a calendar; the alloy sets seldom."""

    rotor: bool = False
    calendar: bool = False
    white_alloy: bool = False


@dataclass(frozen=True, slots=True)
class NextLook:
    """A sign not yet entered: how much it is expected to narrow the odds (bits), and for how many minutes of work."""

    sign: Sign
    bits: float
    effort_min: float


def sure(word: Word) -> Belief:
    """A sign read in words."""
    return {word: 1.0}


def compared(value: float, expected: float, scatter: float, apart: float) -> Belief:
    """A figure against what is expected, as words: fewer (lower) or more by over `apart`, else the same.

    `scatter` is the standard deviation of the figure less what is expected; all in one unit.
    """
    low, high = (0.5 * math.erfc((side - (value - expected)) / (scatter * math.sqrt(2.0))) for side in (-apart, apart))
    return {"fewer": 1.0 - low, "same": low - high, "more": high}


def lower(value: float, expected: float, scatter: float, apart: float) -> Belief:
    """The same where only a lower figure is a sign."""
    told = compared(value, expected, scatter, apart)
    return {"lower": told["fewer"], "same": told["same"] + told["more"]}


def higher(value: float, expected: float, scatter: float, apart: float) -> Belief:
    """The same where only a higher figure is a sign."""
    told = compared(value, expected, scatter, apart)
    return {"more": told["more"], "same": told["same"] + told["fewer"]}


def likely(sign: Sign, word: Word, fault: Fault) -> float:
    """Probability that this word is read of the sign, were this the fault."""
    words = WORDS[sign]
    expected = EXPECTED[fault].get(sign, _SAME[sign])
    if expected is None:
        return 1.0 / len(words)
    return 1.0 - MISLEADS if word == expected else MISLEADS / (len(words) - 1)


def said(sign: Sign, belief: Belief, fault: Fault) -> float:
    """Likelihood of a sign that is itself known with doubt."""
    return sum(share * likely(sign, word, fault) for word, share in belief.items())


def possible(kind: Kind) -> dict[Fault, float]:
    """The faults there can be of such a watch, with their odds before anything was entered."""
    odds = dict(PRIORS)
    if kind.white_alloy:
        odds["spring set"] *= SETS_LESS
    if not kind.rotor:
        del odds["too little wear"]
    if not kind.calendar:
        del odds["loaded by the calendar"]
    total = sum(odds.values())
    return {fault: share / total for fault, share in odds.items()}


def odds(signs: Mapping[Sign, Belief], kind: Kind) -> dict[Fault, float]:
    """Posterior probability of each fault, likeliest first. A sign that is not entered moves nothing."""
    weights = {
        fault: prior * math.prod(said(sign, belief, fault) for sign, belief in signs.items())
        for fault, prior in possible(kind).items()
    }
    total = sum(weights.values())
    return dict(sorted(((fault, each / total) for fault, each in weights.items()), key=lambda pair: -pair[1]))


def moved(signs: Mapping[Sign, Belief], kind: Kind, fault: Fault) -> dict[Sign, float]:
    """By how many times each sign raises (above 1) or lowers the odds of a fault: with it against without it."""
    whole = odds(signs, kind)[fault]
    found = {}
    for sign in signs:
        without = odds({other: belief for other, belief in signs.items() if other != sign}, kind)[fault]
        found[sign] = (whole / max(1e-12, 1.0 - whole)) / max(1e-12, without / max(1e-12, 1.0 - without))
    return found


def next_looks(signs: Mapping[Sign, Belief], kind: Kind) -> list[NextLook]:
    """The signs not yet entered, the most telling for its effort first: expected narrowing over the root of its minutes.

    By the root, since a quarter of an hour is not worth a hundredth of a look that takes seconds.
    """
    before = odds(signs, kind)
    found = [NextLook(sign, _narrowing(sign, before), EFFORT_MIN[sign]) for sign in SIGNS if sign not in signs]
    return sorted(found, key=lambda each: -each.bits / math.sqrt(each.effort_min))


def _narrowing(sign: Sign, before: Mapping[Fault, float]) -> float:
    """Mutual information of a sign and the fault, in bits."""
    total = 0.0
    for word in WORDS[sign]:
        read = sum(share * likely(sign, word, fault) for fault, share in before.items())
        for fault, share in before.items():
            each = likely(sign, word, fault)
            if share > 0.0:
                total += share * each * math.log2(each / read)
    return max(0.0, total)
