"""One value as one cell, and back."""

from typing import Any

QUOTED = ("=", "+", "-", "@", "\t", "\r", "'")
"""A text that begins so gets a ' before it: a spreadsheet would take some for a formula. Reading takes that ' off again."""


def to_cell(value: Any) -> str:
    """The value as text: nothing as an empty cell, a flag as yes or no, several words with spaces between."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, tuple):
        return " ".join(value)
    text = str(value)
    return f"'{text}" if text.startswith(QUOTED) else text


def from_cell(cell: str) -> str:
    """The text that was written as this cell, without space around it."""
    return (cell[1:] if cell[:1] == "'" and cell[1:].startswith(QUOTED) else cell).strip()


def same_word(text: str, words: tuple[str, ...]) -> str:
    """One of a closed set of words, whatever its capitals; any other text as it is."""
    return next((word for word in words if word.casefold() == text.casefold()), text)
