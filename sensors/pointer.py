"""JSON Pointer (RFC 6901): a path into a JSON document."""

import re
from collections.abc import Sequence

from tracker.errors import BadInput
from tracker.words import say

_INDEX = re.compile(r"0|[1-9][0-9]{0,5}", re.ASCII)
_STRAY = re.compile(r"~(?![01])")


class Missing(LookupError):
    """The document has nothing at this pointer."""


def tokens(pointer: str) -> tuple[str, ...]:
    """Split a pointer into its reference tokens, unescaped (RFC 6901, sections 3 and 4).

    Raises:
        BadInput: it does not begin with a slash, or has a tilde before neither 0 nor 1.
    """
    accepted = say("A JSON pointer, such as /s/tick; ~1 stands for a slash in a name, ~0 for a tilde.")
    if pointer and not pointer.startswith("/"):
        raise BadInput(say("“{pointer}” does not begin with a slash.", pointer=pointer), accepted=accepted)
    if _STRAY.search(pointer):
        raise BadInput(say("“{pointer}” has a stray tilde.", pointer=pointer), accepted=accepted)
    return tuple(part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:])


def pointer(path: Sequence[str]) -> str:
    """Reference tokens as a pointer, escaped: what `tokens` takes apart."""
    return "".join("/" + token.replace("~", "~0").replace("/", "~1") for token in path)


def find(document: object, path: tuple[str, ...]) -> object:
    """The value the tokens lead to, from the whole document on (RFC 6901, section 4).

    Raises:
        Missing: there is no such member or element.
    """
    value = document
    for token in path:
        if isinstance(value, dict) and token in value:
            value = value[token]
        elif isinstance(value, list) and _INDEX.fullmatch(token) and int(token) < len(value):
            value = value[int(token)]
        else:
            raise Missing(token)
    return value
