"""A watch came back from service; and files that go with it."""

from argparse import Namespace
from pathlib import Path

from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened
from tracker.cli.photo import read_file
from tracker.commands.attachment import attaching_to
from tracker.commands.build import build
from tracker.commands.log import LogService
from tracker.core.watch import Watch
from tracker.errors import NotFound
from tracker.photofile import attachable, keep
from tracker.store import services
from tracker.uids import new_uid
from tracker.words import say


def serviced(args: Namespace) -> None:
    """Note that each watch came back from service: its figures begin anew."""
    done = {name: getattr(args, name) or "" for name in ("occasion", "work_done", "lubricants", "done_by", "cost")}
    done["parts"] = args.parts
    with opened(args) as collection:
        watches = watches_meant(collection, args.names)
        meant = moment(args.at, collection)
        time = {"at": meant.at, "zone": meant.zone_name, "within_min": meant.within_min}
        commands = [build(LogService, {**done, **time, "watch_uid": watch.uid}) for watch in watches]
        when = said_back(args.at, meant, collection)
        names = ", ".join(watch.nickname for watch in watches)
        collection.change(commands, say("{names}: back from service {when}.", names=names, when=when))


def attach(args: Namespace) -> None:
    """Keep a file with a watch, or with its newest service."""
    with opened(args) as collection:
        (watch,) = watches_meant(collection, [args.name])
        of_uid = _newest_service(collection, watch) if args.to_service else watch.uid
        taken = attachable(read_file(args.file))
        keep(collection.folder, taken)
        told = {"title": args.title or Path(args.file).stem, "key": new_uid(collection.now)}
        command = build(attaching_to, {"of_uid": of_uid, "taken": taken, **told})
        collection.change([command], say("{nickname}: {title} attached.", nickname=watch.nickname, title=command.title))


def _newest_service(collection: Opened, watch: Watch) -> str:
    found = services.services(collection.store.reading(), watch.uid)
    if not found:
        raise NotFound(say("Of {nickname} no service is noted.", nickname=watch.nickname))
    return str(found[0]["uid"])
