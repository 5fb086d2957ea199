"""Templates as they were compiled once: kept in the system's folder for temporary files, so that no first page waits for them.

Compiling those of the Round takes longer than all else of its first page. They are kept by their text: an edited template is
compiled anew.
"""

from contextlib import suppress

from flask import Flask
from jinja2.bccache import Bucket, FileSystemBytecodeCache

AS_SET = 1
"""Raised whenever what app.py sets of Jinja would compile the same text otherwise."""


class _Kept(FileSystemBytecodeCache):
    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it if there is room."""
        with suppress(OSError):
            super().dump_bytecode(bucket)


def keep(app: Flask) -> None:
    """Have templates kept, in a folder that is this user's alone; where there is none each server compiles its own."""
    with suppress(OSError, RuntimeError):
        app.jinja_env.bytecode_cache = _Kept(pattern=f"going-{AS_SET}-%s")
