"""Moving a watch to another round of the plan, or leaving it to the plan again."""

from argparse import Namespace

from tracker.cli.moments import full_moment
from tracker.cli.names import watches_meant
from tracker.cli.opened import opened
from tracker.collection import preferences
from tracker.commands.build import build
from tracker.commands.choice import ChooseRound, LetPlanDecide
from tracker.errors import BadInput
from tracker.moving import moved
from tracker.words import say

PLAN = "plan"


def move(args: Namespace) -> None:
    """Wind this watch next in the round named; `plan` leaves it to the plan again."""
    if not args.move or not args.to:
        raise BadInput(
            say("A watch is moved to a round."),
            field="--to" if args.move else "--move",
            accepted=say("Write both: --move WATCH --to 2026-11-27T07:30, or --to plan."),
        )
    with opened(args) as collection:
        (watch,) = watches_meant(collection, [args.move])
        command: ChooseRound | LetPlanDecide
        if args.to == PLAN:
            command = build(LetPlanDecide, {"watch_uid": watch.uid})
        else:
            at = full_moment(args.to, collection, field="--to")
            command = build(ChooseRound, {"watch_uid": watch.uid, "at": at})
        settings = preferences(collection.store).values
        collection.change(
            [command], moved(command, collection.own_figures(), settings, collection.now, collection.away)
        )
