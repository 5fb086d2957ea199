"""From the owner's settings to how the program speaks."""

import os
from dataclasses import replace

from tracker.commands.settings import Settings
from tracker.languages import ASKED_FOR, begin_to_speak, sentences
from tracker.words import Formats, Speech, speak, speech


def speak_by(settings: Settings) -> None:
    """Speak by these settings from now on in this thread."""
    speak(Speech(settings.language, sentences(settings.language), _formats(settings)))


def speak_at_terminal(settings: Settings) -> None:
    """The same, but in the language the terminal asks for, if it does."""
    if ASKED_FOR not in os.environ:
        speak_by(settings)
        return
    begin_to_speak()
    speak(replace(speech(), formats=_formats(settings)))


def _formats(settings: Settings) -> Formats:
    return Formats(clock=settings.clock, dates=settings.dates, decimal=settings.decimal)
