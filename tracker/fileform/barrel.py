"""The file form of `going barrel`: drum, arbor, strip and train in, the sums out."""

from dataclasses import MISSING, fields
from typing import Any

from tracker.barrelwords import BadBarrel, in_words, warning
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import FIGURES, Sums, sums
from tracker.errors import BadInput
from tracker.fileform.reading import an_object, read_json, refuse
from tracker.words import say

KEYS = tuple(field.name for field in fields(Barrel))
NEEDED = tuple(field.name for field in fields(Barrel) if field.default is MISSING)
DIGITS = 12
"""Significant digits of a figure: fewer than a float holds, so that none ends in noise."""


def answer_file(path: str) -> dict[str, Any]:
    """Answer the document in a file."""
    return answer(read_json(path))


def answer(document: object) -> dict[str, Any]:
    """The sums of a document of the file form, by the names of `sums.Sums`; `warnings` are sentences.

    Raises BadInput or UnknownKey with the place of what is wrong.
    """
    _, found = reckoned(document)
    figures = {name: float(f"{float(getattr(found, name)):.{DIGITS}g}") for name in FIGURES}
    return figures | {"warnings": [warning(each) for each in found.warnings]}


def reckoned(document: object) -> tuple[Barrel, Sums]:
    """The barrel of a document and its sums; raises as `answer` does."""
    made = _barrel(document)
    try:
        with in_words():
            return made, sums(made)
    except BadBarrel as bad:
        where = f"/{bad.field}"
        raise BadInput(say("{where}: {what}", where=where, what=bad.sentence), field=where) from bad


def _barrel(document: object) -> Barrel:
    form = an_object(document, "", KEYS)
    for key in NEEDED:
        if key not in form:
            refuse(f"/{key}", say("this is missing"), say("The keys are {keys}.", keys=", ".join(KEYS)))
    arrangement = form.get("arrangement", "series")
    numbers = {key: _number(value, f"/{key}") for key, value in form.items() if key != "arrangement"}
    return Barrel(**numbers, arrangement=arrangement)


def _number(value: object, where: str) -> float:
    """What is out of bounds is refused by the sums, in words of their own."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        refuse(where, say("this is not a number"), say("A number is expected."))
    try:
        return float(value)
    except OverflowError:
        return float("inf")
