"""Sum and observation: what a watch ought to last, did after its service and does now, on one axis; and the signs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tracker import faultwords, phrases
from tracker.core.faults import SIGNS, Fault, Kind, Sign, moved, next_looks, odds
from tracker.core.spread import Band
from tracker.faultsigns import Seen
from tracker.words import say

WIDTH = 600.0
LEFT = 8.0
ROOM = 1.12
"""The axis reaches so much beyond the longest figure."""
SHORT = 0.93
"""Below this share of what it should be the reserve is said to be short of it."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One row of the picture: its label, figure in words, and where it lies; `low` is `high` for a figure without a band."""

    label: str
    told: str
    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True)
class Part:
    """One fault: its name, and its odds in words."""

    name: str
    told: str


@dataclass(frozen=True, slots=True)
class Told:
    """One sign: what was found, where that comes from, what its likelihoods rest on, how it moved the likeliest fault."""

    sign: str
    found: str
    source: str
    basis: str
    moves: str


@dataclass(frozen=True, slots=True)
class View:
    """All that the page shows beside its forms."""

    head: str
    apart: str
    bars: tuple[Bar, ...]
    ticks: tuple[tuple[float, str], ...]
    parts: tuple[Part, ...]
    likeliest: str
    signs: tuple[Told, ...]
    look: str
    lets_down: bool


@dataclass(frozen=True, slots=True)
class Hours:
    """Calculated (None: no barrel kept), just after the service and now (None: too little seen)."""

    calculated: float | None
    baseline: Band | None
    now: Band | None


def view(nickname: str, hours: Hours, signs: Mapping[Sign, Seen], kind: Kind) -> View:
    """Put it together."""
    beliefs = {sign: seen.belief for sign, seen in signs.items()}
    found, looks = odds(beliefs, kind), next_looks(beliefs, kind)
    first = next(iter(found))
    by = moved(beliefs, kind, first)
    scale = _scale(hours)
    return View(
        head=_head(nickname, hours),
        apart=_apart(hours),
        bars=tuple(_bars(hours, scale)),
        ticks=_ticks(scale),
        parts=tuple(_part(fault, share, kind) for fault, share in found.items()),
        likeliest=faultwords.likeliest(found, kind, len(beliefs)),
        signs=tuple(_told(sign, signs[sign], by[sign]) for sign in SIGNS if sign in signs),
        look=faultwords.look(looks),
        lets_down=bool(looks) and looks[0].sign in faultwords.LETS_DOWN,
    )


def _part(fault: Fault, share: float, kind: Kind) -> Part:
    return Part(phrases.capital(faultwords.fault(fault, kind)), faultwords.how_likely(share))


def _told(sign: Sign, seen: Seen, times: float) -> Told:
    return Told(
        phrases.capital(faultwords.sign(sign)),
        faultwords.believed(seen.belief),
        say(seen.source),
        faultwords.basis(sign),
        faultwords.moves(times),
    )


def _head(nickname: str, hours: Hours) -> str:
    told = [
        "" if hours.calculated is None else say("by the sums {n}", n=phrases.in_hours(hours.calculated, 1.0)),
        "" if hours.baseline is None else say("after its service {n}", n=_span(hours.baseline)),
        say("now too little seen") if hours.now is None else say("now {n}", n=_span(hours.now)),
    ]
    return say("{nickname}: {told}.", nickname=nickname, told=", ".join(each for each in told if each))


def _apart(hours: Hours) -> str:
    """Where sum and observation part."""
    if hours.now is None:
        return say(
            "Let it run down once and read its hands: without a run seen to its end there is nothing to compare."
        )
    if hours.calculated is None:
        return say("No barrel is kept of it, so there is no sum; what follows rests on the log, readings and signs.")
    if hours.now.high < SHORT * hours.calculated:
        short = say(
            "It runs short of the sum by {n}; its band does not reach it.",
            n=phrases.in_hours(hours.calculated - hours.now.mid, 1.0),
        )
    elif hours.now.mid < SHORT * hours.calculated:
        short = say("It probably runs short of the sum; its band still reaches it.")
    elif hours.now.low > hours.calculated:
        short = say("It runs longer than the sum: is the barrel kept rightly?")
    else:
        short = say("It runs about as long as the sum.")
    if hours.baseline is not None and hours.baseline.high < SHORT * hours.calculated:
        return f"{short} {say('So it did right after its service: look at spring and sum first.')}"
    return short


def _span(band: Band) -> str:
    return phrases.span_in_hours(band.low, band.high)


def _scale(hours: Hours) -> float:
    ends = [hours.calculated or 0.0, *(band.high for band in (hours.baseline, hours.now) if band is not None)]
    return (WIDTH - 2 * LEFT) / (ROOM * max(1.0, *ends))


def _bars(hours: Hours, scale: float) -> list[Bar]:
    rows: Sequence[tuple[str, Band | None]] = (
        (say("By the sums"), None if hours.calculated is None else Band(*[hours.calculated] * 3)),
        (say("After its service"), hours.baseline),
        (say("Now"), hours.now),
    )
    return [
        Bar(
            label,
            _span(band) if band.low < band.high else phrases.in_hours(band.mid, 1.0),
            *(round(LEFT + scale * each, 1) for each in (band.low, band.mid, band.high)),
        )
        for label, band in rows
        if band is not None
    ]


def _ticks(scale: float) -> tuple[tuple[float, str], ...]:
    longest = (WIDTH - 2 * LEFT) / scale
    step = next((each for each in (6, 12, 24, 48, 96, 240) if longest / each <= 7), 480)  # noqa: PLR2004 -- marks that fit
    return tuple((round(LEFT + scale * hour, 1), str(hour)) for hour in range(0, int(longest) + 1, step))
