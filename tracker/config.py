"""Where a collection lies, and where its pages are served."""

import os
from pathlib import Path

HOST = "127.0.0.1"
PORT = 8321


def data_folder(given: str | None) -> Path:
    """The owner's collection: the folder given, else GOING_DATA, else the platform's place for a user's data."""
    named = given or os.environ.get("GOING_DATA")
    return Path(named).expanduser() if named else _users("going-barrel")


def example_folder(given: str | None) -> Path:
    """The example collection: the folder given, else one of its own; never the owner's, so GOING_DATA is not asked."""
    return Path(given).expanduser() if given else _users("going-barrel-example")


def _users(name: str) -> Path:
    from platformdirs import user_data_path  # noqa: PLC0415 -- the file forms read this module's other half only

    return user_data_path(name, appauthor=False)
