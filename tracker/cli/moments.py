"""`--at` as a moment, and a moment as it is said back."""

from dataclasses import replace
from datetime import datetime
from typing import cast

from tracker import phrases
from tracker.cli.opened import Opened
from tracker.core.when import CLOCK_WITHIN_MIN, NoMoment, Said, Word, said, written
from tracker.errors import BadMoment
from tracker.words import say

WORDS = ("now", "this morning", "last night")


def moment(at: str | None, collection: Opened) -> Said:
    """The moment `--at` means: a word, the latest such clock time past, or a date and time in ISO 8601; else now.

    Raises:
        BadMoment: it means none, or two.
    """
    typed = (at or "now").strip()
    now, zone = collection.now, collection.zone
    try:
        if typed.casefold() in WORDS:
            return said(cast("Word", typed.casefold()), "", now, zone)
        if "-" not in typed:
            return said("about", typed, now, zone)
        full = written(typed, now, zone)
        return replace(full, within_min=max(full.within_min, CLOCK_WITHIN_MIN))
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=zone.key, choices=error.choices) from error


def said_back(at: str | None, meant: Said, collection: Opened) -> str:
    """The moment in words, so that a wrong day shows at once."""
    word = (at or "now").strip().casefold()
    if word == "now":
        return say("just now")
    if word in WORDS:
        return say(word)
    when = phrases.when(meant.at, collection.now, collection.zone)
    return say("{when} (the clocks showed it twice: the later)", when=when) if meant.twice else when


def full_moment(typed: str, collection: Opened, *, field: str) -> datetime:
    """A date and time in ISO 8601, on the owner's clock unless it says otherwise.

    Raises:
        BadMoment: it names none, or two.
    """
    try:
        return written(typed, collection.now, collection.zone).at
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=collection.zone.key, choices=error.choices, field=field) from error
