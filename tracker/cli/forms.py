"""File forms: a document in, an answer out, no collection."""

import json
import sys
from argparse import Namespace

from tracker.errors import BadInput
from tracker.fileform import rounds as rounds_form
from tracker.fileform import spans as spans_form
from tracker.fileform.reserve import answer_file
from tracker.words import say


def reserve(args: Namespace) -> None:
    """Answer a file form, or tell of a collection; a file needs nothing of what opens one."""
    if not args.file:
        from tracker.cli import reserves  # noqa: PLC0415 -- the file form starts without database, pydantic and Flask

        reserves.reserve(args)
        return
    if args.names:
        raise BadInput(
            say("A file speaks for itself."), field="NAME", accepted=say("Leave the name out, or leave out --from.")
        )
    write(answer_file(args.file))


def rounds(args: Namespace) -> None:
    """Answer a file form, move a watch, or plan for a collection."""
    if args.file:
        write(rounds_form.answer_file(args.file))
        return
    if args.move or args.to:
        from tracker.cli import moving  # noqa: PLC0415 -- as above

        moving.move(args)
        return
    from tracker.cli import rounds as own  # noqa: PLC0415 -- as above

    own.rounds(args)


def spans(args: Namespace) -> None:
    """Answer the readings of a rest sensor in a file."""
    write(spans_form.answer_file(args.file))


def write(answer: object) -> None:
    """Write an answer as JSON."""
    sys.stdout.write(json.dumps(answer, ensure_ascii=False, indent=2, allow_nan=False) + "\n")
