"""Why an Apprise send failed. Apprise itself says only that it did."""

import logging
import smtplib
import sys
import threading
import traceback
from collections.abc import Iterator
from contextlib import contextmanager

from tracker.reminders.answer import Answer
from tracker.words import say

REFUSING = frozenset({400, 401, 403, 405, 410, 413, 414, 415, 422})
"""Statuses of HTTP (RFC 9110, section 15) that the same message would meet again. Not 404: a receiver behind a proxy
answers so while it starts."""

_MAIL_REFUSED_FROM = 500  # RFC 5321, section 4.2.1: 5yz is permanent, 4yz passing


class Witness:
    """What Apprise logged of one send: a status by its number, an error as the exception that was being handled."""

    def __init__(self) -> None:
        self.status: int | None = None
        self.error: BaseException | None = None

    def note(self, record: logging.LogRecord) -> None:
        """Take from a record what it tells beyond its prose."""
        args = record.args
        if isinstance(args, tuple) and args and isinstance(args[-1], int) and "error=" in record.msg:
            self.status = args[-1]
        self.error = sys.exc_info()[1] or self.error

    def answer(self) -> Answer:
        """What came of the send that was reported as failed."""
        if self.status is not None:
            return Answer(
                "refused" if self.status in REFUSING else "failed",
                say("The channel answered with status {status}.", status=self.status),
            )
        code = _mail_code(self.error)
        if code is not None:
            return Answer(
                "refused" if code >= _MAIL_REFUSED_FROM else "failed",
                say("The mail server answered with code {code}.", code=code),
            )
        if self._never_left():
            return Answer("failed", say("The address can't be reached."))
        return Answer("unanswered", say("The connection broke off before an answer came."))

    def _never_left(self) -> bool:
        """Whether the failure came before any of the message was handed over; in SMTP that is the step DATA."""
        from requests import exceptions  # noqa: PLC0415 -- comes with Apprise, needed only after a failed send

        error = self.error
        if isinstance(error, (exceptions.ConnectTimeout, exceptions.SSLError, exceptions.ProxyError, ValueError)):
            return True
        if isinstance(error, exceptions.RequestException):
            return _no_connection(error)
        return error is not None and all(frame.name != "data" for frame in traceback.extract_tb(error.__traceback__))


def _no_connection(error: BaseException) -> bool:
    from urllib3.exceptions import NewConnectionError  # noqa: PLC0415 -- as above

    cause = error.args[0] if error.args else None
    return isinstance(getattr(cause, "reason", None), NewConnectionError)


def _mail_code(error: BaseException | None) -> int | None:
    if isinstance(error, smtplib.SMTPResponseException):
        return error.smtp_code
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return next((code for code, _ in error.recipients.values()), None)
    return None


_here = threading.local()


def _hear(record: logging.LogRecord) -> bool:
    seen: Witness | None = getattr(_here, "seen", None)
    if seen is not None:
        seen.note(record)
    return False


def hush() -> None:
    """Keep addresses out of every log: Apprise warns with the whole of one, urllib3 with the path asked for."""
    logger = logging.getLogger("apprise")
    logger.addFilter(_hear)
    logger.setLevel(logging.DEBUG)  # it tells the error of a mail at this level only
    logging.getLogger("urllib3").setLevel(logging.ERROR)


@contextmanager
def witness() -> Iterator[Witness]:
    """Watch the sends of this thread."""
    _here.seen = Witness()
    try:
        yield _here.seen
    finally:
        del _here.seen
