"""A spring written as one line, height × thickness × length × barrel, as the trade writes it."""

import re
from dataclasses import dataclass

NUMBER = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
CROSS = re.compile(r"[×xX*]")
PARTS = (3, 4)


class Unread(ValueError):
    """A line that is no spring: `part` is what can't be read, empty where there are too few or too many."""

    def __init__(self, line: str, part: str = "") -> None:
        super().__init__(line)
        self.line = line
        self.part = part


@dataclass(frozen=True, slots=True)
class Strip:
    """A spring as sold, in mm; `drum_diameter_mm` is that of the barrel it is sold for, if told."""

    height_mm: float
    thickness_mm: float
    length_mm: float
    drum_diameter_mm: float | None = None


def strip_of(line: str) -> Strip:
    """Read `1.30 × 0.115 × 350 × 11` (mm; ×, x or *; decimal point or comma; the barrel may be left out).

    Raises:
        Unread: there are not three or four numbers.
    """
    parts = [part.strip().removesuffix("mm").strip() for part in CROSS.split(line.strip())]
    if len(parts) not in PARTS:
        raise Unread(line)
    return Strip(*(_number(line, part) for part in parts))


def _number(line: str, part: str) -> float:
    if not NUMBER.fullmatch(part):
        raise Unread(line, part)
    return float(part.replace(",", "."))
