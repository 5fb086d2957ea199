"""One tree of errors: each takes values and writes its own sentence; web, command line and CSV render the same object."""

from collections.abc import Sequence
from typing import ClassVar

from tracker.words import say


class GoingError(Exception):
    """Anything the program has to tell a person instead of an answer.

    `status` is the HTTP status and `exit_code` the exit code of the command line.
    """

    status: ClassVar[int] = 500
    exit_code: ClassVar[int] = 1

    def __init__(self, sentence: str, *, field: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


class BadInput(GoingError):
    """Input that can't be taken: where it stands, what is wrong, what is accepted."""

    status = 422
    exit_code = 2

    def __init__(self, what: str, *, field: str = "", accepted: str = "") -> None:
        super().__init__(f"{what} {accepted}".strip(), field=field)
        self.what = what
        self.accepted = accepted


class BadRow(BadInput):
    """What is wrong in a row of a CSV file, with its line and, where one cell is to blame, its column."""

    def __init__(self, what: str, *, line: int, column: str = "", accepted: str = "") -> None:
        if column:
            what = say("Line {line}, column “{column}”: {what}", line=line, column=column, what=what)
        else:
            what = say("Line {line}: {what}", line=line, what=what)
        super().__init__(what, field=column, accepted=accepted)
        self.line = line
        self.column = column


class BadMoment(BadInput):
    """A time that was said or written and names no moment, or two. `why` is one of those in `core/when.py`."""

    _SENTENCES: ClassVar[dict[str, tuple[str, str]]] = {
        "not a clock time": ("“{said}” is not a time on the clock.", "Give it as 07:30."),
        "not a time": ("“{said}” is not a time.", "Give it as 2026-11-25T07:30."),
        "in the gap": ("The clocks of {zone} skipped {said}.", "Give a time before or after the change."),
        "twice there": ("The clocks of {zone} showed {said} twice.", "Give it as {choices}."),
    }

    def __init__(self, why: str, said: str, *, zone: str, choices: Sequence[str] = (), field: str = "at") -> None:
        what, accepted = self._SENTENCES[why]
        values = {"said": said, "zone": zone, "choices": say(" or ").join(choices)}
        super().__init__(say(what, **values), field=field, accepted=say(accepted, **values))
        self.why = why


class Rejected(GoingError):
    """Input with one problem or more, each by its field; nothing of it was taken."""

    status = 422
    exit_code = 2

    def __init__(self, problems: Sequence[BadInput]) -> None:
        super().__init__(" ".join(problem.sentence for problem in problems))
        self.problems = list(problems)


class UnknownKey(BadInput):
    """A key that a file form does not have."""

    def __init__(self, key: str, *, known: list[str]) -> None:
        super().__init__(
            say("“{key}” is not a key of this form.", key=key),
            field=key,
            accepted=say("Known keys: {known}.", known=", ".join(known)),
        )


class Conflict(GoingError):
    """The row was changed by someone else since it was read."""

    status = 409
    exit_code = 3


class Stale(Conflict):
    """The same, told by the version that an edit names."""


class Forbidden(GoingError):
    """A person who may not do this."""

    status = 403
    exit_code = 6


class NotFound(GoingError):
    """No such thing, or no longer."""

    status = 404
    exit_code = 4


class Unavailable(GoingError):
    """Something outside the program is in the way: a port, a disk, a lock, a file."""

    status = 503
    exit_code = 5


class NotYet(Unavailable):
    """A watch whose reserve is not worked out yet, or could not be (`failed`)."""

    def __init__(self, nickname: str, *, failed: bool) -> None:
        sentence = (
            say("The reserve of {nickname} could not be worked out; its log is kept.", nickname=nickname)
            if failed
            else say("The reserve of {nickname} is being worked out. Ask again in a moment.", nickname=nickname)
        )
        super().__init__(sentence)
