"""A watch came back from service."""

from argparse import Namespace

from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import opened
from tracker.commands.build import build
from tracker.commands.log import LogService
from tracker.words import say


def serviced(args: Namespace) -> None:
    """Note that each watch came back from service: its figures begin anew."""
    done = {"work_done": args.work_done or "", "done_by": args.done_by or "", "cost": args.cost or ""}
    with opened(args) as collection:
        watches = watches_meant(collection, args.names)
        meant = moment(args.at, collection)
        time = {"at": meant.at, "zone": meant.zone_name, "within_min": meant.within_min}
        commands = [build(LogService, {**done, **time, "watch_uid": watch.uid}) for watch in watches]
        when = said_back(args.at, meant, collection)
        names = ", ".join(watch.nickname for watch in watches)
        collection.change(commands, say("{names}: back from service {when}.", names=names, when=when))
