"""Faults, signs and odds in words."""

from collections.abc import Mapping, Sequence

from tracker import phrases
from tracker.core.faults import EFFORT_MIN, SIGNS, SUMS, WORDS, Belief, Fault, Kind, NextLook, Sign
from tracker.words import say, written

_FAULTS: dict[Fault, str] = {
    "nothing amiss": "nothing amiss",
    "spring set": "the spring has set",
    "slips early": "the bridle slips early",
    "friction in the train": "friction in the train",
    "winding slips": "crown or winding slips",
    "broken spring": "a broken spring",
    "wrong spring fitted": "a wrong spring was fitted",
    "magnetised": "it is magnetised",
    "loaded by the calendar": "the calendar loads the train",
    "too little wear": "the automatic work, or too little wear",
}
_HOOKING = "the outer hooking lets go"
"""A hand-wound spring has no bridle."""
_SIGNS: dict[Sign, str] = {
    "run-down": "run-down",
    "turns from stopped": "crown turns from stopped to full",
    "turns from let down": "crown turns from let down to full or slip",
    "turns left": "turns left in the barrel at the stop",
    "amplitude full": "amplitude at full wind",
    "amplitude after 24 h": "amplitude after 24 h",
    "amplitude at equal turns": "amplitude at equal turns left",
    "torque at equal turns": "torque by a gauge at equal turns left",
    "came": "how it came",
    "stops at one hour": "stops at the same hour of the dial",
    "crown and wear": "runs from the crown and from wear",
    "rate": "rate",
}
_LOOKS: dict[Sign, str] = {
    "run-down": "let it run down once and read its hands",
    "turns from stopped": "count the crown turns from stopped to full",
    "turns from let down": "let the power down and count the crown turns to full, or until it slips",
    "turns left": "when it has stopped, let the rest down with care and count the turns left",
    "amplitude full": "read its amplitude at full wind, lying flat",
    "amplitude after 24 h": "read its amplitude after 24 h, lying flat",
    "amplitude at equal turns": "read its amplitude with as many turns left as when it was good",
    "torque at equal turns": "put a torque gauge to the barrel with as many turns left",
    "came": "look in the log whether it came slowly, with a service or in a step",
    "stops at one hour": "note what its hands show whenever it has stopped",
    "crown and wear": "wind it fully by the crown and let it run down unworn",
    "rate": "read its rate",
}
LETS_DOWN: frozenset[Sign] = frozenset({"turns from let down", "turns left", "torque at equal turns"})
"""Looks for which the power is let down or the barrel handled."""
_LIKELY = ((0.9, "almost surely"), (0.7, "likely"), (0.4, "perhaps"), (0.1, "less likely"))


def fault(word: Fault, kind: Kind) -> str:
    """A fault in words, by what parts the watch has."""
    return say(_HOOKING) if word == "slips early" and not kind.rotor else say(_FAULTS[word])


def sign(word: Sign) -> str:
    """A sign in words."""
    return say(_SIGNS[word])


def sign_choices() -> list[tuple[str, str]]:
    """Each sign with its label."""
    return [(each, phrases.capital(sign(each))) for each in SIGNS]


def word_choices() -> list[tuple[str, str]]:
    """Every word of any sign, with a blank one for a figure."""
    words = dict.fromkeys(word for each in SIGNS for word in WORDS[each])
    return [("", say("a figure, below")), *((word, say(word)) for word in words)]


def words_of(word: Sign) -> list[tuple[str, str]]:
    """The words of one sign."""
    return [("", say("not looked at")), *((each, say(each)) for each in WORDS[word])]


def how_likely(share: float) -> str:
    """Odds as words with the figure beside."""
    told = next((told for least, told in _LIKELY if share >= least), "unlikely")
    return say("{told} ({chance})", told=say(told), chance=phrases.chance(share))


def believed(belief: Belief) -> str:
    """What was found of a sign: its likeliest word, with doubt where there is."""
    word, share = max(belief.items(), key=lambda pair: pair[1])
    sure = 0.95
    return say(word) if share >= sure else say("{word}, {chance}", word=say(word), chance=phrases.chance(share))


def noted(word: Sign, found: str, figure: float | None, expected: float | None) -> str:
    """A row of the log."""
    if found or figure is None or expected is None:
        return say("{sign}: {found}", sign=sign(word), found=say(found) if found else "")
    return say(
        "{sign}: {figure} (should be {expected})",
        sign=sign(word),
        figure=written(figure, "g"),
        expected=written(expected, "g"),
    )


def likeliest(odds: Mapping[Fault, float], kind: Kind, count: int) -> str:
    """The sentence on what is likeliest, with how many signs stand behind it."""
    if count == 0:
        return say("No sign has been entered yet: below stands how often each is to blame, as a guess.")
    first, share = next(iter(odds.items()))
    signs = say("1 sign") if count == 1 else say("{n} signs", n=count)
    return say("From {signs}: {told} {fault}.", signs=signs, told=how_likely(share), fault=fault(first, kind))


def look(found: Sequence[NextLook]) -> str:
    """What to look at next, and why."""
    if not found:
        return ""
    look, minutes = say(_LOOKS[found[0].sign]), EFFORT_MIN[found[0].sign]
    if minutes == 1:
        return say("Most telling next: {look}; about a minute.", look=look)
    return say("Most telling next: {look}; about {n} minutes.", look=look, n=written(minutes, "g"))


def basis(word: Sign) -> str:
    """What its likelihoods rest on."""
    return say("sums of the barrel") if word in SUMS else say("common practice, no source")


def moves(times: float) -> str:
    """How far a sign moved the odds of the likeliest fault."""
    near = 1.1
    if 1 / near < times < near:
        return say("hardly moves them")
    if times > 1:
        return say("raises them {n} times", n=written(times, ".1f"))
    return say("lowers them {n} times", n=written(1 / times, ".1f"))
