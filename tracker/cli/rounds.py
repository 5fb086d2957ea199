"""The plan for the days to come: as a table, or as JSON."""

from argparse import Namespace
from collections.abc import Iterable
from typing import Any

from tracker import choicewords, phrases
from tracker.cli.forms import write
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.collection import preferences
from tracker.core.rounds.plan import Late, Plan, Round
from tracker.fileform.rounds import document_of, instant
from tracker.moving import unmoved
from tracker.planning import Planned, planned
from tracker.web.planview import sums, warnings
from tracker.words import say


def rounds(args: Namespace) -> None:
    """Tell in which rounds each watch is wound."""
    with opened(args) as collection:
        figures, settings = collection.own_figures(), preferences(collection.store).values
        found = planned(figures, settings, collection.now, args.days, sitting=True, away=collection.away)
        without = unmoved(found, figures, settings, collection.now, collection.away)
    names = {each.watch.uid: each.watch.nickname for each in figures}
    if args.json:
        write(_values(found, names))
    else:
        _show(found, without, names, collection)


def _values(found: Planned, names: dict[str, str]) -> dict[str, Any]:
    plan = found.plan
    named = Plan(
        rounds=tuple(Round(each.at, tuple(names[uid] for uid in each.wind)) for each in plan.rounds),
        windings=plan.windings,
        least_margin=plan.least_margin,
        late=tuple(Late(names[each.name], each.missed, each.until) for each in plan.late),
        cannot=tuple(names[uid] for uid in plan.cannot),
        windings_within=plan.windings_within,
    )
    return document_of(named) | {
        "to_look_at": [names[uid] for uid in found.to_look_at],
        "left_to_run": [names[uid] for uid in found.left_to_run],
        "chosen": [{"watch": names[uid], "at": instant(at)} for uid, at in found.chosen.items()],
    }


def _show(found: Planned, without: Planned | None, names: dict[str, str], asked: Opened) -> None:
    if found.plan.rounds:
        show([(say("round"), say("wind, and how long before it must be")), *_lines(found, names, asked)])
        tell(sums(found, without))
    elif found.plan.late:
        tell(sums(found, without))
    else:
        tell(say("Nothing to wind until {when}.", when=phrases.when(found.end, asked.now, asked.zone)))
    for sentence in warnings(found, names, asked.now, asked.zone):
        tell(sentence)
    if found.to_look_at:
        tell(say("To look at, no full wind is known: {names}.", names=_listed(found.to_look_at, names)))
    if found.left_to_run:
        tell(say("Left to run, for a look: {names}.", names=_listed(found.left_to_run, names)))


def _lines(found: Planned, names: dict[str, str], asked: Opened) -> Iterable[tuple[str, str]]:
    margins, chosen = found.all_margins, found.chosen
    for each in found.plan.rounds:
        told = [
            say("{nickname} ({margin}, your choice)", nickname=names[uid], margin=margin)
            if chosen.get(uid) == each.at
            else say("{nickname} ({margin})", nickname=names[uid], margin=margin)
            for uid in each.wind
            for margin in [choicewords.margin(margins[uid][each.at])]
        ]
        yield choicewords.when(each.at, asked.now, asked.zone), ", ".join(told)


def _listed(uids: Iterable[str], names: dict[str, str]) -> str:
    return ", ".join(names[uid] for uid in uids)
