"""Sections of going.toml in the data folder: what is not known in it is named, not passed over."""

import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tracker.errors import BadInput, Unavailable
from tracker.words import say

FILE_NAME = "going.toml"
SECTIONS = ("mqtt", "web")


def section(folder: Path, name: str, keys: Sequence[str]) -> dict[str, Any]:
    """What stands in one section, empty if nothing does.

    Raises:
        BadInput: a section or a key is not known.
        Unavailable: the file can't be read, or is no TOML.
    """
    document = _document(folder / FILE_NAME)
    for other, value in document.items():
        if other not in SECTIONS or not isinstance(value, dict):
            raise BadInput(
                say("{file} has a section that is not known: “{name}”.", file=FILE_NAME, name=other),
                field=other,
                accepted=say("There are [{sections}].", sections="], [".join(SECTIONS)),
            )
    found: dict[str, Any] = document.get(name, {})
    for key in found:
        if key not in keys:
            raise BadInput(
                say(
                    "[{section}] of {file} has a key that is not known: “{key}”.", section=name, file=FILE_NAME, key=key
                ),
                field=key,
                accepted=say("The keys are {keys}.", keys=", ".join(keys)),
            )
    return found


def _document(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError) as error:
        raise Unavailable(say("{file} can't be read: {why}.", file=FILE_NAME, why=error)) from error
    except tomllib.TOMLDecodeError as error:
        raise Unavailable(say("{file} is not TOML: {why}.", file=FILE_NAME, why=error)) from error
