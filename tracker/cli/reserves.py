"""The reserves of a collection: as a table, as JSON, or one watch's evidence as a file form."""

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from tracker import phrases
from tracker.cli import explaining
from tracker.cli.forms import write
from tracker.cli.names import watches_meant
from tracker.cli.opened import opened, tell
from tracker.cli.table import show
from tracker.errors import BadInput
from tracker.figures import Figures
from tracker.fileform.writing import document
from tracker.web.reservewords import baseline, evidence, reserves_now
from tracker.words import say


def reserve(args: Namespace) -> None:
    """Tell what is known of the reserves asked for; all of them if none is named."""
    figures = _asked(args)
    if args.explain:
        _explain(args, figures)
    elif args.form:
        write(_form(figures, args.names))
    elif args.json:
        write([_values(each) for each in figures])
    else:
        head = [say(word) for word in ("watch", "now", "after service", "stated", "evidence")]
        show([head, *(row for each in figures for row in rows_of(each))])


def _asked(args: Namespace) -> list[Figures]:
    with opened(args) as collection:
        wanted = {watch.uid for watch in watches_meant(collection, args.names)}
        figures = collection.figures()
    return [each for each in figures if each.watch.uid in wanted or not wanted]


def _explain(args: Namespace, figures: Sequence[Figures]) -> None:
    """Tell how the figures of the watches named are known."""
    if not args.names:
        raise BadInput(say("No watch is named."), field="NAME", accepted=say("Name those to be explained."))
    with opened(args) as collection:
        if args.json:
            write([explaining.values(each, collection.zone) for each in figures])
        else:
            tell("\n\n".join(explaining.text(each, collection) for each in figures))


def _form(figures: Sequence[Figures], names: Sequence[str]) -> dict[str, Any]:
    if len(names) != 1:
        raise BadInput(say("A file form holds one watch."), field="NAME", accepted=say("Name one."))
    (each,) = figures
    return document(
        each.segment.runs,
        now_years=each.segment.now_years,
        stated_h=each.watch.stated_reserve_h,
        reserve_class=each.watch.reserve_class,
        seen_going_h=each.standing.seen_going_h,
    )


def rows_of(each: Figures) -> list[Sequence[str]]:
    """One row, and one below it for each further length that the reserve may have, so that the table stays narrow."""
    stated = each.watch.stated_reserve_h
    stated_said = phrases.length(stated) if stated else ""
    first, *others = reserves_now(each)
    more = [("", say("or else {reserve}", reserve=other), "", "", "") for other in others]
    return [(each.watch.nickname, first, baseline(each), stated_said, evidence(each)), *more]


def _values(each: Figures) -> dict[str, Any]:
    found = each.estimate
    return {
        "uid": each.watch.uid,
        "watch": each.watch.nickname,
        "reserve_h": asdict(found.reserve_h),
        "baseline_h": asdict(found.baseline_h),
        "evidence": found.evidence,
        "left_out": found.left_out,
    }
