"""What the commands take that keep a collection safe."""

from argparse import ArgumentParser

from tracker.cli.numbers import port
from tracker.config import PORT
from tracker.words import say


def backup(parser: ArgumentParser) -> None:
    """Of `going backup`."""
    told = say("the archive to write; without it one is added to the folder of the daily backups")
    parser.add_argument("file", metavar="FILE", nargs="?", help=told)
    parser.add_argument("--replace", action="store_true", help=say("write over a file of that name"))


def restore(parser: ArgumentParser) -> None:
    """Of `going restore`."""
    parser.add_argument("file", metavar="FILE", help=say("the archive that going backup wrote"))
    told = say("put aside what is in the folder of the collection, under another name beside it")
    parser.add_argument("--replace", action="store_true", help=told)


def as_json(parser: ArgumentParser) -> None:
    """Of `going check`."""
    parser.add_argument("--json", action="store_true", help=say("answer as JSON"))


def doctor(parser: ArgumentParser) -> None:
    """Of `going doctor`."""
    as_json(parser)
    told = say("the port the pages are served at ({port} if left out)", port=PORT)
    parser.add_argument("--port", type=port, default=PORT, help=told)
