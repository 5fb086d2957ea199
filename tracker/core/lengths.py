"""Lengths as people write them: millimetres unless a unit stands beside, decimal comma or point, fractions of inch and ligne."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

Unit = Literal["mm", "cm", "µm", "in", "ligne"]
MM_PER: dict[Unit, float] = {"mm": 1.0, "cm": 10.0, "µm": 0.001, "in": 25.4, "ligne": 2.2558}
"""An inch is 25.4 mm by definition; a ligne is the twelfth part of a Paris inch, 2.2558 mm (trade value)."""
WRITTEN: dict[str, Unit] = {
    **{unit: unit for unit in get_args(Unit)},
    **dict.fromkeys(("inch", "inches", '"', "″", "”", "''"), "in"),
    **dict.fromkeys(("lignes", "line", "lines", "‴", "'''", "’’’", "′′′"), "ligne"),
    **dict.fromkeys(("um", "μm"), "µm"),
}
VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
NUMBER = r"\d{1,9}(?:[.,]\d{0,12})?|[.,]\d{1,12}"
LENGTH = re.compile(rf"({NUMBER})?\s*(?:(\d{{1,6}})\s*[/⁄]\s*(\d{{1,6}}))?\s*(\D*)")


class NoLength(ValueError):
    """What was written is no length."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length in mm, and the unit that it was written in."""

    mm: float
    unit: Unit


def length_of(written: str) -> Length:
    """Read a length such as `11`, `1,30 mm`, `0.45 in`, `5 1/2 ligne` or `5½‴`.

    Raises:
        NoLength: it is none.
    """
    text = written.strip()
    for sign, plain in VULGAR.items():
        text = text.replace(sign, f" {plain}")
    whole, above, below, unit = _parts(text)
    if (whole is None and above is None) or unit not in WRITTEN or below == 0:
        raise NoLength(written)
    number = float((whole or "0").replace(",", "."))
    named = WRITTEN[unit]
    return Length((number + float(Fraction(above or 0, below or 1))) * MM_PER[named], named)


def _parts(text: str) -> tuple[str | None, int | None, int | None, str]:
    """Whole number, both parts of a fraction, and the unit, mm where none is named."""
    bare = re.fullmatch(r"(\d{1,6})\s*[/⁄]\s*(\d{1,6})\s*(\D*)", text)
    if bare:
        return None, int(bare[1]), int(bare[2]), bare[3].strip().lower() or "mm"
    found = LENGTH.fullmatch(text)
    if found is None:
        raise NoLength(text)
    above, below = (int(each) if each else None for each in (found[2], found[3]))
    return found[1], above, below, found[4].strip().lower() or "mm"
