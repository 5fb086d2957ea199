"""How backups are named in their folder: by the moment they were made, in UTC."""

import re
from datetime import UTC, datetime
from pathlib import Path

FOLDER = "backups"
"""Where backups lie in the data folder, unless the owner names another place."""

_NAMED = re.compile(r"going-barrel-(\d{8}T\d{6})Z\.zip")
_MOMENT = "%Y%m%dT%H%M%S"


def name_of(moment: datetime) -> str:
    """The name of a backup made at this moment."""
    return f"going-barrel-{moment.astimezone(UTC):{_MOMENT}}Z.zip"


def moment_of(name: str) -> datetime | None:
    """The moment a name tells; None where it is no backup's."""
    found = _NAMED.fullmatch(name)
    if found is None:
        return None
    try:
        return datetime.strptime(found[1], _MOMENT).replace(tzinfo=UTC)
    except ValueError:
        return None


def kept_in(folder: Path) -> dict[datetime, Path]:
    """The backups of a folder by their moments; nothing where there is no such folder.

    Raises:
        OSError: the folder can't be read.
    """
    if not folder.exists():
        return {}
    found = {moment_of(file.name): file for file in folder.iterdir()}
    return dict(sorted((moment, file) for moment, file in found.items() if moment is not None))


def folder_of(data: Path, wished: str) -> Path:
    """Where the backups of a collection go: the folder its owner wished, or one beside its files."""
    return Path(wished) if wished else data / FOLDER
