"""The photograph named in a call: from its file to its place in the collection and the command that attaches it."""

from collections.abc import Sequence
from pathlib import Path

from tracker.commands.photograph import AttachPhotograph, attaching
from tracker.errors import BadInput, Unavailable
from tracker.photofile import MOST_BYTES, keep, photograph
from tracker.words import say


def attached(file: str | None, entry_uids: Sequence[str], folder: Path) -> list[AttachPhotograph]:
    """The command that attaches this file to the one entry there is; none without a file.

    Raises:
        BadInput: there are several entries, or it is no photograph that can be kept.
        Unavailable: it can't be read, or not be kept.
    """
    if file is None:
        return []
    if len(entry_uids) > 1:
        raise BadInput(
            say("A photograph goes with one watch."),
            field="photo",
            accepted=say("Name one, and repeat for the others."),
        )
    taken = photograph(read_file(file))
    keep(folder, taken)
    return [attaching(entry_uids[0], taken)]


def read_file(file: str) -> bytes:
    """Its bytes, one more than can be kept at most.

    Raises:
        Unavailable: it can't be read.
    """
    try:
        with Path(file).open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except OSError as error:
        raise Unavailable(say("{file} can't be read: {why}.", file=file, why=error.strerror)) from error
