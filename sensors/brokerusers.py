"""Who the broker of our own lets in: the listener, and the owner's sensors, each with a password made up once."""

import json
import os
import secrets
from pathlib import Path

FILE_NAME = "broker-users.json"
LISTENER, SENSORS = "going-barrel", "sensors"
PASSWORD_BYTES = 12
READY = "ready"
"""What the broker says once it listens."""


def users_of(folder: Path) -> dict[str, str]:
    """Passwords by user, made on the first call; readable by the owner of the folder alone."""
    path = folder / FILE_NAME
    if not path.exists():
        _write(path, {user: secrets.token_urlsafe(PASSWORD_BYTES) for user in (LISTENER, SENSORS)})
    users: dict[str, str] = json.loads(path.read_text())
    return users


def _write(path: Path, users: dict[str, str]) -> None:
    part = path.with_name(f"{path.name}.part")
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        json.dump(users, file)
    part.replace(path)
