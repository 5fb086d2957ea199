"""Rows of text under each other."""

from collections.abc import Sequence

from tracker.cli.opened import tell


def show(rows: Sequence[Sequence[str]]) -> None:
    """Say the rows, the first of them the heads, each column as wide as its widest cell."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row in rows:
        tell("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
