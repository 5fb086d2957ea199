"""The form of six positions, or a pasted block, as one command for each position read."""

from collections.abc import Callable, Iterator

from tracker.commands.build import build
from tracker.commands.log import LogReading
from tracker.core.timing import POSITIONS
from tracker.core.when import Said
from tracker.errors import BadInput, BadRow, Rejected
from tracker.pastedreadings import pasted
from tracker.uids import uid_of
from tracker.web.forms import Form
from tracker.words import say

READ = ("rate_s_per_day", "amplitude_deg", "beat_error_ms")
SHARED = ("occasion", "since_wind_min", "lift_angle_deg", "vibrations_per_hour", "note")
PASTED = "pasted"
Named = Callable[[BadInput], BadInput]
"""A problem of a command, named as the form has it."""


def name_of(field: str, position: str) -> str:
    """What the form calls a field of one position."""
    return f"{field}-{position}"


def commands(form: Form, watch_uid: str, said: Said) -> list[LogReading]:
    """One command for each position that has a figure, and for each pasted line; the uids follow from the form's.

    Raises:
        Rejected: what can't be taken, by field or line; nothing was read at all.
    """
    shared: dict[str, object] = {name: form.get(name, "") for name in SHARED if form.get(name, "").strip()}
    shared |= {"watch_uid": watch_uid, "at": said.at, "zone": said.zone_name, "within_min": said.within_min}
    found, problems = list[LogReading](), list[BadInput]()
    for key, field_of, own in _told(form, problems):
        fields = {**shared, **own, "uid": uid_of(form.get("uid", ""), key)}
        try:
            found.append(build(LogReading, fields))
        except Rejected as rejected:
            problems += [field_of(problem) for problem in rejected.problems]
    if problems:
        raise Rejected(problems)
    if not found:
        raise Rejected(
            [BadInput(say("No position has a figure."), accepted=say("Fill in at least one, or paste a block."))]
        )
    return found


def _told(form: Form, problems: list[BadInput]) -> Iterator[tuple[str, Named, dict[str, str]]]:
    """What was read: a key, what names its field or line in a problem, its fields."""
    for position in POSITIONS:
        own = {name: typed for name in READ if (typed := form.get(name_of(name, position), "").strip())}
        if own:
            yield position, _by_position(position), {"position": position, **own}
    try:
        lines = pasted(form.get(PASTED, ""))
    except Rejected as rejected:
        problems += [_by_line(problem.line)(problem) for problem in rejected.problems if isinstance(problem, BadRow)]
        return
    for line, own in lines:
        yield f"{PASTED} {line}", _by_line(line), own


def _by_position(position: str) -> Named:
    def named(problem: BadInput) -> BadInput:
        field = name_of(problem.field, position) if problem.field in READ else problem.field
        return BadInput(problem.what, field=field, accepted=problem.accepted)

    return named


def _by_line(line: int) -> Named:
    def named(problem: BadInput) -> BadInput:
        column = problem.field if not isinstance(problem, BadRow) else ""
        row = BadRow(problem.what, line=line, column=column, accepted=problem.accepted)
        return BadInput(row.sentence, field=PASTED)

    return named
