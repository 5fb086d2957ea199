"""The photograph that comes with an entry: from the form to its file and its command."""

from collections.abc import Callable, Sequence

from flask import request

from tracker.commands.base import Command, EntryCommand
from tracker.commands.photograph import attaching, tells_of_a_stop
from tracker.errors import BadInput, Rejected
from tracker.photofile import MEGABYTE, MOST_BYTES, Photograph, keep, photograph
from tracker.web.request import store
from tracker.words import say

MOST_BYTES_OF_A_FORM = 4 * MOST_BYTES + 2 * MEGABYTE
"""A round may bring a few photographs at once; the text beside them has a bound of its own."""


def room_for_photographs() -> None:
    """Let in more of a form that may bring files, before anyone reads it; what is typed keeps its bound."""
    if request.mimetype == "multipart/form-data":
        request.max_content_length = MOST_BYTES_OF_A_FORM


def with_photographs(entries: Sequence[EntryCommand], field_of: Callable[[EntryCommand], str]) -> list[Command]:
    """These entries and, for each photograph sent with one, the command that attaches it; its file is kept by then.

    Args:
        entries: one for each watch.
        field_of: what the form calls the file of an entry.

    Raises:
        Rejected: every photograph that can't be taken, by its field; no file is kept.
        Unavailable: the disk refuses.
    """
    found, problems = list[tuple[EntryCommand, Photograph]](), list[BadInput]()
    for entry in entries:
        try:
            taken = _sent(entry, field_of(entry))
        except BadInput as problem:
            problems.append(BadInput(problem.what, field=field_of(entry), accepted=problem.accepted))
        else:
            found += [(entry, taken)] if taken else []
    if problems:
        raise Rejected(problems)
    for _, each in found:
        keep(store().path.parent, each)
    return [*entries, *(attaching(entry.uid, each) for entry, each in found)]


def _sent(entry: EntryCommand, field: str) -> Photograph | None:
    """The photograph in this field; a field left alone comes without a name."""
    file = request.files.get(field)
    if file is None or not file.filename:
        return None
    if not tells_of_a_stop(entry.model_dump()):
        raise BadInput(
            say("A photograph of the hands goes with a watch that had stopped."),
            accepted=say("Leave it out, or say that it had stopped."),
        )
    return photograph(file.stream.read(MOST_BYTES + 1))
