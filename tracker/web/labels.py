"""Labels to print: a code for each watch, which opens its page on a phone; and the way from the code to the page."""

from collections.abc import Sequence
from urllib.parse import urlsplit

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from tracker.core.watch import Watch
from tracker.errors import NotFound
from tracker.labelgrids import GRIDS, PAPERS, Grid, sheets
from tracker.labels import Label, label
from tracker.reach import Reach, is_loopback
from tracker.shortnames import called
from tracker.store import register
from tracker.web.forms import Form
from tracker.web.request import preferences, reach, store
from tracker.words import say

pages = Blueprint("labels", __name__)

FIRST = "a4-3x7"


@pages.get("/labels")
def page() -> str:
    """The sheets that the address asks for."""
    base, watches = preferences().values.base_address, _labelled()
    grid = GRIDS[_grid(request.args)]
    chosen = _chosen(request.args, watches)
    start, problem = _start(request.args, grid)
    return render_template(
        "labels.html",
        base=base,
        in_the_way=in_the_way(base, reach()),
        watches=watches,
        chosen={watch.uid for watch in chosen},
        grids=[(name, named(each)) for name, each in GRIDS.items()],
        grid=_grid(request.args),
        form=request.args,
        start=start,
        problems={"start": problem} if problem else {},
        paper=grid.paper,
        size=PAPERS[grid.paper],
        of=grid,
        sheets=drawn(grid, chosen, start, base) if base else [],
        outlined=request.args.get("outline") == "yes",
    )


@pages.get("/w/<short>")
def open_watch(short: str) -> Response | str:
    """From a label to its watch, where it is wound first."""
    found = called(register.watches(store().reading()) + register.watches(store().reading(), archived=True), short)
    if not found:
        raise NotFound(say("No watch has these six characters: {short}.", short=short))
    if len(found) == 1:
        return redirect(url_for("watch.page", uid=found[0].uid, first="wind"), 303)
    return render_template("labelshared.html", watches=found)


def _labelled() -> list[Watch]:
    """Every watch that is here, the owner's and customers', by name."""
    return sorted(
        (watch for watch in register.watches(store().reading()) if watch.went_out is None),
        key=lambda watch: watch.nickname.casefold(),
    )


def _grid(form: Form) -> str:
    return form.get("grid", "") if form.get("grid") in GRIDS else FIRST


def _chosen(form: Form, watches: Sequence[Watch]) -> list[Watch]:
    """Those ticked; all before anybody ticked."""
    ticked = set(form.getlist("watch"))
    return [watch for watch in watches if watch.uid in ticked or not (ticked or form.get("chosen"))]


def _start(form: Form, grid: Grid) -> tuple[int, str]:
    """The first label that is still on the sheet, and what is wrong with what was typed."""
    typed = form.get("start", "").strip() or "1"
    if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= grid.count:
        return int(typed), ""
    return 1, say("“{typed}” is no label of this sheet. Give one from 1 to {most}.", typed=typed, most=grid.count)


def named(grid: Grid) -> str:
    """A grid as its box says it: `A4, 3 × 7 of 63.5 × 38.1 mm`."""
    return say(
        "{paper}, {columns} × {rows} of {width} × {height} mm",
        paper=grid.paper,
        columns=grid.columns,
        rows=grid.rows,
        width=f"{grid.width_mm:.1f}",
        height=f"{grid.height_mm:.1f}",
    )


def drawn(grid: Grid, watches: Sequence[Watch], start: int, base_address: str) -> list[list[Label]]:
    """The labels of these watches, sheet by sheet."""
    return [[label(grid, x, y, watch, base_address) for x, y, watch in sheet] for sheet in sheets(grid, watches, start)]


def in_the_way(base_address: str, here: Reach) -> str:
    """Why a phone that reads a label would not get to these pages, as far as that can be told from here; "" if nothing is."""
    host = (urlsplit(base_address).hostname or "").lower()
    if not host or host in here.names:
        return ""
    if is_loopback(host):
        return say(
            "{host} is this machine alone: a phone that reads the label would look for the pages in itself.", host=host
        )
    return say(
        "These pages do not answer under {host} now. Start them with going serve --home, or name it under [web] in going.toml.",
        host=host,
    )
