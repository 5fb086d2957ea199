"""Sheets of labels as they are sold, and where each label lies on its page.

Sizes and margins as they are commonly printed; common practice, no source. All lengths are millimetres.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

Thing = TypeVar("Thing")

Paper = Literal["A4", "Letter"]
PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height: ISO 216; ANSI/ASME Y14.1, size A."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A sheet of equal labels.

    `left_mm` and `top_mm` are the margins of the first label, `across_mm` and `down_mm` the steps from one label to the
    next, `clear_mm` the part of a label along its edges that is left white: printers reach no sheet's very edge.
    """

    paper: Paper
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float
    clear_mm: float = 2.0

    @property
    def count(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows


GRIDS: dict[str, Grid] = {
    "a4-3x7": Grid(
        paper="A4", columns=3, rows=7, width_mm=63.5, height_mm=38.1, left_mm=7.25, top_mm=15.15, across_mm=66.0, down_mm=38.1
    ),
    "a4-3x8": Grid(
        paper="A4", columns=3, rows=8, width_mm=70.0, height_mm=37.0, left_mm=0.0, top_mm=0.5, across_mm=70.0, down_mm=37.0, clear_mm=5.0
    ),
    "a4-4x10": Grid(
        paper="A4", columns=4, rows=10, width_mm=48.5, height_mm=25.4, left_mm=8.0, top_mm=21.5, across_mm=48.5, down_mm=25.4
    ),
    "a4-5x13": Grid(
        paper="A4", columns=5, rows=13, width_mm=38.1, height_mm=21.2, left_mm=4.75, top_mm=10.7, across_mm=40.6, down_mm=21.2, clear_mm=1.5
    ),
    "letter-3x10": Grid(
        paper="Letter", columns=3, rows=10, width_mm=66.675, height_mm=25.4, left_mm=4.7625, top_mm=12.7, across_mm=69.85, down_mm=25.4
    ),
}  # fmt: skip
"""By the word that an address knows each by."""


def sheets(grid: Grid, things: Sequence[Thing], start: int) -> list[list[tuple[float, float, Thing]]]:
    """The things laid out: for each sheet the left and top edge of each label with what it carries.

    Args:
        grid: the sheet.
        things: one for each label, in order.
        start: the first label of the first sheet that is still there, counted from 1 along the rows.
    """
    laid: list[list[tuple[float, float, Thing]]] = []
    for place, thing in enumerate(things, start - 1):
        sheet, on_it = divmod(place, grid.count)
        row, column = divmod(on_it, grid.columns)
        while len(laid) <= sheet:
            laid.append([])
        laid[sheet].append((grid.left_mm + column * grid.across_mm, grid.top_mm + row * grid.down_mm, thing))
    return laid
