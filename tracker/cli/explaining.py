"""How do we know? One watch's reserve explained in plain text or as values."""

import textwrap
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any
from zoneinfo import ZoneInfo

from tracker.cli.opened import Opened
from tracker.explained import explained, runs_used
from tracker.figures import Figures
from tracker.store import log
from tracker.web.explainwords import Account, Row, account, answer
from tracker.web.lookwords import run_down_asked
from tracker.words import say

WIDTH = 100


def text(each: Figures, collection: Opened) -> str:
    """The explanation of a watch's page, in its words."""
    notes = {row["uid"]: row for row in log.entry_rows(collection.store.reading(), each.watch.uid)}
    found = explained(each, collection.zone)
    told = account(each, found, notes, collection.now, collection.zone)
    head = say(
        "{nickname}: {answer}", nickname=each.watch.nickname, answer=answer(each, collection.now, collection.zone)
    )
    return "\n".join([head, *_lines(told, run_down_asked(each, collection.now))])


def values(each: Figures, zone: ZoneInfo) -> dict[str, Any]:
    """The same as values: hours, each group of runs by the uids of their windings."""
    found, runs = explained(each, zone), runs_used(each)
    return {
        "uid": each.watch.uid,
        "watch": each.watch.nickname,
        "prior_h": asdict(found.prior_h),
        "reserve_h": asdict(each.estimate.reserve_h),
        "gained_bits": each.estimate.gained_bits,
        "without": [
            {"runs": [runs[place].wind_uid for place in without.runs], "reserve_h": asdict(without.reserve_h)}
            for without in found.without
        ],
        "left_out": {run.wind_uid: run.reason for run in runs if run.reason},
        "held_back": each.held and each.held.run_uid,
    }


def _lines(told: Account, asked: str) -> Iterable[str]:
    yield from _part(say("Where it started"), told.started)
    yield from _part(say("What each run did, the most telling first"), _rows(told))
    yield from _part(say("Left out, and why"), told.left_out)
    yield from _part(say("What this can’t know"), told.unknown)
    yield from _part(say("What would tell more"), [asked, *told.more])


def _part(title: str, sentences: Iterable[str]) -> Iterable[str]:
    said = [sentence for sentence in sentences if sentence]
    if said:
        yield ""
        yield title
        yield from (line for sentence in said for line in textwrap.wrap(sentence, WIDTH, subsequent_indent="  "))


def _rows(told: Account) -> list[str]:
    more = told.count - len(told.rows)
    left = [say("{n} more rows are on its page.", n=more)] if more else []
    return [*map(_said, told.rows), *left, told.together]


def _said(row: Row) -> str:
    return say("{when}: {tells}. {did}. {noted}.", when=row.when, tells=row.tells, did=row.did, noted=row.noted)
