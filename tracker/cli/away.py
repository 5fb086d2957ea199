"""What happens while the owner is away: as lines, or as JSON; kept if asked; and that the owner is back."""

from argparse import Namespace
from collections.abc import Sequence
from datetime import datetime, time
from typing import Any

from tracker.cli.forms import write
from tracker.cli.moments import full_moment
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened, tell
from tracker.collection import preferences
from tracker.commands.absence import KeepAbsence
from tracker.commands.door import submit
from tracker.core.when import NoMoment, clock_time
from tracker.errors import BadMoment
from tracker.staying import Absence, absence, come_back, visits_every
from tracker.web import awayview
from tracker.web.awayview import Line
from tracker.words import say


def away(args: Namespace) -> None:
    """Tell how each watch goes while its owner is away; keep the absence if asked."""
    with opened(args) as collection:
        leave = full_moment(args.leave, collection, field="--from")
        back = full_moment(args.back, collection, field="--to")
        at = _clock(args.at, collection)
        found = absence(
            collection.own_figures(),
            preferences(collection.store).values,
            collection.now,
            leave=leave,
            back=back,
            taken={watch.uid for watch in watches_meant(collection, args.taking)} if args.taking else (),
            visits=visits_every(args.every, at, leave, back, collection.zone) if args.every else (),
        )
        if args.json:
            write(_values(found))
        else:
            _show(found, collection, helped=bool(args.every))
        if args.keep:
            taken = tuple(each.uid for each in found.travelling)
            submit(collection.store, [KeepAbsence(leave=found.leave, back=found.back, taken=taken)], collection.who)
        if args.keep and not args.json:
            tell(say("Kept. Reminders stand still while you are away. To take it back: going undo"))


def back(args: Namespace) -> None:
    """Note that the owner is back now, earlier than was kept."""
    with opened(args) as collection:
        command = come_back(collection.store.reading(), collection.now)
        collection.change([command], say("Welcome back. Reminders go on."))


def _show(found: Absence, collection: Opened, *, helped: bool) -> None:
    shown = awayview.shown(found, collection.now, collection.zone)
    tell(shown.head)
    _part(say("Wind in {round}:", round=shown.last_round), shown.to_wind)
    for group in shown.found:
        _part(f"{group.head}:", group.lines)
    for said in shown.setting:
        tell(f"  {said}")
    if shown.visits:
        tell(say("Wound while you are away:"))
    for visit in shown.visits:
        tell(f"  {visit.when}: {', '.join(line.nickname for line in visit.lines)}.")
    if helped and not shown.visits:
        tell(awayview.no_visit())
    _part(say("Left as they are:"), shown.left)


def _clock(typed: str, collection: Opened) -> time:
    try:
        return clock_time(typed)
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=collection.zone.key, field="--at") from error


def _part(head: str, lines: Sequence[Line]) -> None:
    if lines:
        tell(head)
    for line in lines:
        tell("  " + " ".join([f"{line.nickname}: {'; '.join(line.said)}.", *line.cautions]))


def _values(found: Absence) -> dict[str, Any]:
    nicknames = {stay.watch.uid: stay.watch.nickname for stay in found.stays}
    return {
        "leave": _text(found.leave),
        "back": _text(found.back),
        "last_round": _text(found.last_round),
        "visits": [{"at": _text(each.at), "wind": [nicknames[uid] for uid in each.wind]} for each in found.visits],
        "travelling": [watch.nickname for watch in found.travelling],
        "watches": [
            {
                "watch": stay.watch.nickname,
                "advice": stay.advice,
                "going_at_return": stay.found and round(stay.found.going_at_return, 6),
                "safe_until": stay.found and _text(stay.found.safe_until),
                "stops_from": stay.found and _text(stay.found.stops_from),
                "stops_to": stay.found and _text(stay.found.stops_to),
                "date_steps": list(stay.date_steps),
                "steps_if_going": stay.steps_if_going,
            }
            for stay in found.stays
        ],
    }


def _text(moment: datetime) -> str:
    return moment.isoformat(timespec="seconds").replace("+00:00", "Z")
