"""A barrel in a file, or that of a watch: its sums in JSON, or to be read."""

import sys
from argparse import Namespace
from collections.abc import Iterator

from tracker import barrelwords, cautionwords
from tracker.cli.forms import write
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import Sums
from tracker.errors import BadInput
from tracker.fileform.barrel import answer_file, reckoned
from tracker.fileform.reading import read_json
from tracker.words import say


def barrel(args: Namespace) -> None:
    """Answer a barrel in a file, or the one kept of a watch."""
    if (args.file is None) == (args.name is None):
        raise BadInput(say("Name a watch, or a file by --from."))
    if args.file is None:
        from tracker.cli.keptbarrel import kept_barrel  # noqa: PLC0415 -- a file needs no collection

        kept_barrel(args)
    elif args.json:
        write(answer_file(args.file))
    else:
        sys.stdout.writelines(f"{line}\n" for line in _lines(*reckoned(read_json(args.file))))


def _lines(made: Barrel, found: Sums) -> Iterator[str]:
    """What it gives, what is to be warned of, the figures, what they assume, and a caution."""
    yield barrelwords.summary(found)
    yield from (barrelwords.warning(each) for each in found.warnings)
    yield ""
    rows = barrelwords.figures(found)
    wide = max(len(name) for name, _ in rows)
    yield from (f"{name:{wide}}  {figure}" for name, figure in rows)
    yield ""
    yield from barrelwords.assumptions(made, found)
    yield cautionwords.wound_spring()
