"""The table behind a picture as the address asks for it: in which order, and how much of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from tracker.plots.picture import Table

SHOWN_AT_FIRST = 60


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column: the order that it asks for, empty where it has none, and the one the rows are in by it."""

    label: str
    order: str
    turned: str


@dataclass(frozen=True, slots=True)
class Behind:
    """A table to show: some of its rows, and how many there are in all; `order` is the one it is in, empty if its own."""

    caption: str
    heads: list[Head]
    rows: Sequence[tuple[str, ...]]
    count: int
    order: str


def behind(table: Table, asked: Mapping[str, str]) -> Behind:
    """Order the rows as `order` in the address says (turned round with a minus), all of them with `figures=all`."""
    order, down = asked.get("order", "").removeprefix("-"), asked.get("order", "").startswith("-")
    if order not in table.orders:
        order, rows = "", list(table.rows)
    else:
        column = table.orders.index(order)
        paired = zip(table.keys, table.rows, strict=True)
        rows = [row for _, row in sorted(paired, key=lambda pair: pair[0][column], reverse=down)]
    return Behind(
        caption=table.caption,
        heads=[_head(label, name, order, down=down) for label, name in _columns(table)],
        rows=rows if asked.get("figures") == "all" else rows[:SHOWN_AT_FIRST],
        count=len(rows),
        order=order and ("-" if down else "") + order,
    )


def _columns(table: Table) -> Iterable[tuple[str, str]]:
    return zip_longest(table.heads, table.orders, fillvalue="")


def _head(label: str, name: str, order: str, *, down: bool) -> Head:
    if not name or name != order:
        return Head(label, name, "")
    return Head(label, name if down else f"-{name}", "descending" if down else "ascending")
