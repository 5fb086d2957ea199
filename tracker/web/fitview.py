"""Which spring fits this drum: the range of thickness and length, and the owner's own list of springs."""

from collections.abc import Sequence
from dataclasses import dataclass

from tracker import barrelwords
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.fit import Offer, choices, ranked
from tracker.core.barrel.whatif import with_strip
from tracker.csvfile.springs import Offered, read_springs
from tracker.errors import BadInput, Rejected
from tracker.words import say, written

AROUND = 6
"""So many thicknesses thinner and thicker than the nearest are shown."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A strip of the range in words, the barrel with it, and whether it is the nearest to what is there."""

    said: str
    barrel: Barrel
    nearest: bool


@dataclass(frozen=True, slots=True)
class RangeRow:
    """One thickness, with the least, the best and the longest length."""

    thickness: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class OfferRow:
    """A spring of the list: what it gives in this drum, or why it does not do; the barrel with it where it does."""

    name: str
    line: int
    strip: str
    figures: tuple[str, ...]
    off: str
    why_not: list[str]
    barrel: Barrel | None


@dataclass(frozen=True, slots=True)
class Listed:
    """The list as ranked, and what is wrong with its rows."""

    rows: list[OfferRow]
    problems: list[str]


def range_rows(barrel: Barrel, *, hours_known: bool) -> list[RangeRow]:
    """The range around the nearest, thinnest first."""
    found = choices(barrel)
    row, column = found.nearest
    rows = []
    for at in range(max(0, row - AROUND), min(len(found.thickness_mm), row + AROUND + 1)):
        thickness = float(found.thickness_mm[at])
        cells = []
        for place, length in enumerate(found.length_mm[at]):
            figures = [found.turns[at, place], found.torque_full_nmm[at, place], found.reserve_h[at, place]]
            said = _said(float(length), *(float(each) for each in figures), hours_known=hours_known)
            cells.append(Cell(said, with_strip(barrel, thickness, float(length)), (at, place) == (row, column)))
        rows.append(RangeRow(say("{mm:.3f} mm", mm=thickness), tuple(cells)))
    return rows


def _said(length: float, turns: float, torque: float, hours: float, *, hours_known: bool) -> str:
    told = say(
        "{length:.0f} mm: {turns:.1f} turns, {torque} N mm",
        length=length,
        turns=turns,
        torque=barrelwords.digits(torque, 2),
    )
    return say("{told}, {hours:.0f} h", told=told, hours=hours) if hours_known else told


def listed(barrel: Barrel, data: bytes, *, hours_known: bool) -> Listed:
    """The springs of a list ranked by nearness to the one in the barrel, with what is wrong with its rows."""
    try:
        springs = read_springs(data)
    except Rejected as rejected:
        return Listed([], [each.sentence for each in rejected.problems])
    offers = ranked(barrel, [each.strip for each in springs.offered])
    rows = [_row(each, springs.offered, barrel, hours_known=hours_known) for each in offers]
    return Listed(rows, [each.sentence for each in springs.problems])


def _row(offer: Offer, offered: Sequence[Offered], barrel: Barrel, *, hours_known: bool) -> OfferRow:
    source = next(each for each in offered if each.strip is offer.strip)
    strip = offer.strip
    sizes = (strip.height_mm, strip.thickness_mm, strip.length_mm, strip.drum_diameter_mm)
    goes = offer.turns is not None and not offer.why_not
    return OfferRow(
        name=source.name,
        line=source.line,
        strip=" × ".join(written(size, ".4g") for size in sizes if size is not None),
        figures=_figures(offer, hours_known=hours_known),
        off="" if offer.off is None else say("{n} %", n=round(100.0 * offer.off)),
        why_not=barrelwords.why_not(offer, barrel),
        barrel=with_strip(barrel, strip.thickness_mm, strip.length_mm, strip.height_mm) if goes else None,
    )


def _figures(offer: Offer, *, hours_known: bool) -> tuple[str, ...]:
    if offer.turns is None or offer.torque_full_nmm is None or offer.reserve_h is None:
        return ("", "", "")
    hours = say("{hours:.1f} h", hours=offer.reserve_h) if hours_known else ""
    return written(offer.turns, ".2f"), say("{torque} N mm", torque=barrelwords.digits(offer.torque_full_nmm)), hours


def sent(text: str, file: bytes) -> bytes | None:
    """The list as pasted or as a file, the file first; None where neither was sent.

    Raises:
        BadInput: it is too long.
    """
    data = file or text.encode()
    if not data.strip():
        return None
    if len(data) > MOST_BYTES:
        raise BadInput(
            say("This list is too long."), field="springs", accepted=say("Give at most a million characters.")
        )
    return data


MOST_BYTES = 1_000_000
