"""Timing readings in words: positions, figures with what stands behind them, doubts, the figures of ISO 3159."""

from collections.abc import Iterable, Mapping
from typing import Any

from tracker import phrases
from tracker.core.chronometer import LIMITS, Criterion, Result
from tracker.core.timing import (
    GOOD_FLAT_DEG,
    LEAST_AFTER_24H_DEG,
    POSITIONS,
    Doubt,
    Figure,
    Occasion,
    Position,
    State,
    Summary,
)
from tracker.words import say, written

_LIES: dict[Position, str] = {
    "CH": "dial up",
    "CB": "dial down",
    "3H": "3 uppermost",
    "6H": "6 uppermost",
    "9H": "9 uppermost",
    "12H": "12 uppermost",
}
_OCCASIONS: dict[Occasion, str] = {
    "before service": "before a service",
    "after service": "after a service",
    "in between": "in between",
}
_DOUBTS: dict[Doubt, str] = {
    "beat rate": "This is no usual beat rate of a watch.",
    "lift angle": "This is no usual lift angle.",
    "low amplitude": "So low an amplitude hardly keeps a watch going.",
    "knocking": "At so high an amplitude the balance knocks.",
    "beat error": "A beat error over 1 ms wants adjusting.",
    "rate": "So large a rate speaks of a hurt hairspring or magnetism, or of another beat rate.",
    "wrong beat rate": "The rate is that of another beat rate: was the right one set?",
}
_OF_TEMPERATURE: Criterion = "variation by temperature"


def position(word: Position) -> str:
    """A position by its symbol of ISO 3158 and in words, such as `CH (dial up)`."""
    return say("{symbol} ({lies})", symbol=word, lies=say(_LIES[word]))


def lies(word: Position) -> str:
    """How the watch lies, in words."""
    return say(_LIES[word])


def positions() -> list[tuple[str, str]]:
    """Each position with its label."""
    return [(each, position(each)) for each in POSITIONS]


def occasions() -> list[tuple[str, str]]:
    """Each occasion with its label."""
    return [(word, say(label)) for word, label in _OCCASIONS.items()]


def occasion(word: Occasion) -> str:
    """An occasion in words."""
    return say(_OCCASIONS[word])


def since_wind(minutes: float | None) -> str:
    """How long after the full wind, such as `30 min after the wind`; empty where nobody knows."""
    return "" if minutes is None else say("{length} after the wind", length=phrases.length(minutes / 60.0))


def rate(seconds: float) -> str:
    """A rate such as `+4.2 s a day`."""
    return say("{n} s a day", n=_signed(seconds))


def degrees(value: float) -> str:
    """An angle such as `285°`."""
    return say("{n}°", n=written(value, ".3g"))


def milliseconds(value: float) -> str:
    """A beat error such as `0.3 ms`."""
    return say("{n} ms", n=written(abs(value), ".2g"))


def read(row: Mapping[str, Any]) -> list[str]:
    """What a row of the log read."""
    assumed = row["amplitude_deg"] is not None and row["lift_angle_deg"] is None
    told = [
        "" if row["rate_s_per_day"] is None else rate(row["rate_s_per_day"]),
        "" if row["amplitude_deg"] is None else say("amplitude {n}", n=degrees(row["amplitude_deg"])),
        say("lift angle assumed") if assumed else "",
        "" if row["beat_error_ms"] is None else say("beat error {n}", n=milliseconds(row["beat_error_ms"])),
        say("day {n} of the programme of ISO 3159", n=row["programme_day"]) if row["programme_day"] else "",
    ]
    return [each for each in told if each]


def doubt(word: Doubt) -> str:
    """What of a reading can hardly be so."""
    return say(_DOUBTS[word])


def doubted(words: Iterable[Doubt]) -> str:
    """All of them."""
    return " ".join(doubt(word) for word in words)


def amplitude(found: Figure | None) -> str:
    """An amplitude with what stands behind it, such as `288° (2 readings; lift angle assumed)`."""
    if found is None:
        return say("not read")
    return say("{n} ({behind})", n=degrees(found.value), behind=_behind(found))


def seconds(found: Figure | None) -> str:
    """A rate or a difference of rates with what stands behind it."""
    if found is None:
        return say("too few positions read")
    return say("{n} ({behind})", n=rate(found.value), behind=_behind(found))


def _behind(found: Figure) -> str:
    count = say("1 reading") if found.readings == 1 else say("{n} readings", n=found.readings)
    return say("{count}; lift angle assumed", count=count) if found.assumed else count


def facts(told: State) -> list[tuple[str, str]]:
    """What the readings of one state of wind come to: label and figure."""
    errors = told.beat_error
    return [
        (say("Mean rate"), seconds(told.mean_rate)),
        (say("Spread over the positions"), seconds(told.spread).removeprefix("+")),
        (say("Flat less hanging"), seconds(told.flat_hang)),
        (say("Amplitude, flat"), amplitude(told.flat_amplitude)),
        (say("Amplitude, hanging"), amplitude(told.hanging_amplitude)),
        (
            say("Greatest beat error"),
            say("{n} ({behind})", n=milliseconds(errors.value), behind=_behind(errors)) if errors else say("not read"),
        ),
    ]


def first_line(nickname: str, told: Summary | None) -> str:
    """What the page answers: how it goes by its newest readings."""
    if told is None:
        return say("Nothing of {nickname} has been read yet.", nickname=nickname)
    parts = [
        say("{n} on the mean of its positions", n=rate(told.full.mean_rate.value)) if told.full.mean_rate else "",
        say("amplitude {n} at full wind", n=degrees(told.full.flat_amplitude.value))
        if told.full.flat_amplitude
        else "",
        say("{n} after 24 h", n=degrees(told.day.flat_amplitude.value)) if told.day.flat_amplitude else "",
    ]
    said = ", ".join(each for each in parts if each)
    if not said:
        return say("{nickname} has been read, but not at full wind or after 24 h.", nickname=nickname)
    return say("{nickname}: {said}.", nickname=nickname, said=said)


def judged(told: Summary) -> list[str]:
    """What its amplitudes are beside what is usual (common practice, no source); nothing of one with an assumed angle."""
    full, day = told.full.flat_amplitude, told.day.flat_amplitude
    low, high = (degrees(each) for each in GOOD_FLAT_DEG)
    found = []
    if full and not full.assumed and full.value < GOOD_FLAT_DEG[0]:
        found.append(say("At full wind {low} to {high} would be usual lying flat.", low=low, high=high))
    if day and not day.assumed and day.value < LEAST_AFTER_24H_DEG:
        found.append(say("After 24 h it should not be under {least}.", least=degrees(LEAST_AFTER_24H_DEG)))
    if any(each and each.assumed for each in (full, day)):
        found.append(say("Its lift angle is assumed: no finding is drawn from such an amplitude."))
    return found


def criterion(result: Result) -> str:
    """A criterion of ISO 3159 by name."""
    return phrases.capital(say(result.criterion))


def value(result: Result) -> str:
    """Its value, or what is missing."""
    if result.value is None:
        days = ", ".join(str(day) for day in result.missing_days)
        return say("not yet: days missing: {days}", days=days)
    told = _signed(result.value, 2)
    return say("{n} s a day by °C", n=told) if result.criterion == _OF_TEMPERATURE else say("{n} s a day", n=told)


def limits(result: Result) -> list[str]:
    """The standard's limits for movements over 20 mm, and of 20 mm and under."""
    return [
        say("{low} to {high}", low=_signed(low), high=_signed(high))
        if low < 0
        else say("at most {high}", high=written(high, "g"))
        for low, high in LIMITS[result.criterion]
    ]


def within(result: Result) -> list[str]:
    """Whether it lies within them."""
    told = {None: say("not yet known"), True: say("within"), False: say("outside")}
    return [told[each] for each in (result.within_large, result.within_small)]


def _signed(number: float, places: int = 1) -> str:
    text = written(number, f"+.{places}f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in {"+0", "-0"} else text.replace("-", "\N{MINUS SIGN}")
