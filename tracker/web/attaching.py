"""The photograph or other file that comes with a form: from there to its place on the disk and its command."""

from collections.abc import Callable, Sequence
from pathlib import PurePosixPath

from flask import request

from tracker.commands.attachment import AttachFile, attaching_to
from tracker.commands.base import Command, EntryCommand
from tracker.commands.build import build
from tracker.commands.photograph import attaching, tells_of_a_stop
from tracker.errors import BadInput, Rejected
from tracker.photofile import MEGABYTE, MOST_BYTES, Photograph, attachable, keep, photograph
from tracker.web.request import store
from tracker.words import say

MOST_LETTERS = 120
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


def with_file(of_uid: str, key: str) -> list[AttachFile]:
    """The command that attaches the file of this form to a service or watch, none if none was sent; it is kept by then.

    Raises:
        BadInput: it can't be taken; nothing is kept.
        Unavailable: the disk refuses.
    """
    file = request.files.get("file")
    if file is None or not file.filename:
        return []
    taken = attachable(file.stream.read(MOST_BYTES + 1))
    keep(store().path.parent, taken)
    return [build(attaching_to, {"of_uid": of_uid, "taken": taken, "title": _title(file.filename), "key": key})]


def _title(filename: str) -> str:
    """What the owner calls the file, else the name it came under, without folders and ending: only ever shown."""
    typed = request.form.get("title", "").strip() or PurePosixPath(filename.replace("\\", "/")).stem
    return "".join(letter for letter in typed if letter.isprintable())[:MOST_LETTERS]


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
