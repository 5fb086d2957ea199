"""What SQLite or the disk has against it, in plain words."""

import errno
import sqlite3

from tracker.words import say

_PRIMARY = 0xFF

_OF_CODE = {
    sqlite3.SQLITE_BUSY: "another program is writing to it",
    sqlite3.SQLITE_LOCKED: "another program is writing to it",
    sqlite3.SQLITE_FULL: "the disk is full",
    sqlite3.SQLITE_READONLY: "it may only be read, not written",
    sqlite3.SQLITE_PERM: "this user has no access to it",
    sqlite3.SQLITE_CANTOPEN: "this user has no access to it",
    sqlite3.SQLITE_IOERR: "the disk fails",
    sqlite3.SQLITE_CORRUPT: "the file is damaged",
    sqlite3.SQLITE_NOTADB: "the file is not a collection",
}
_OF_SYSTEM = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk is full",
    errno.EROFS: "its disk may only be read, not written",
    errno.EIO: "the disk fails",
}


def from_outside(error: BaseException) -> bool:
    """Whether SQLite tells of the file, the disk or another program; a broken constraint tells of a fault in ours."""
    return isinstance(error, sqlite3.OperationalError) or type(error) is sqlite3.DatabaseError


def reason(error: BaseException) -> str:
    """What stands in the way; in the words of the system where we have none."""
    if isinstance(error, OSError):
        told = _OF_SYSTEM.get(error.errno or 0)
        return (error.strerror or str(error)) if told is None else say(told)
    known = _OF_CODE.get(getattr(error, "sqlite_errorcode", 0) & _PRIMARY)
    return str(error) if known is None else say(known)
