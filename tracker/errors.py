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


class NotFound(GoingError):
    """No such thing, or no longer."""

    status = 404
    exit_code = 4


class Unavailable(GoingError):
    """Something outside the program is in the way: a port, a disk, a lock, a file."""

    status = 503
    exit_code = 5
