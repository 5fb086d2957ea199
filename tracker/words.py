"""The catalogue: every label and sentence for people passes `say`, every figure in one passes `written`.

The English sentence is the key. A translation is a mapping from it to a sentence with the same named places; what the
mapping lacks is said in English. How figures, days and hours are written goes with it (`Formats`).
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field, replace
from typing import Literal

Clock = Literal["24 h", "12 h"]
Dates = Literal["year first", "day first", "month first"]
Decimal = Literal["point", "comma"]

_COMMA = str.maketrans({".": ",", ",": "\N{NARROW NO-BREAK SPACE}"})
"""With a decimal comma a gap parts the thousands, so that neither mark is read as the other."""


@dataclass(frozen=True, slots=True)
class Formats:
    """How figures, days and hours are shown to people; the first of each is that of ISO 8601 and of files."""

    clock: Clock = "24 h"
    dates: Dates = "year first"
    decimal: Decimal = "point"


@dataclass(frozen=True, slots=True)
class Speech:
    """A language by its code of BCP 47, its sentences by the English ones, and its formats."""

    language: str = "en"
    sentences: Mapping[str, str] = field(default_factory=dict)
    formats: Formats = Formats()


_speech: ContextVar[Speech] = ContextVar("speech", default=Speech())  # noqa: B039 -- it is frozen


def speak(speech: Speech) -> None:
    """Speak so from now on in this thread; others are not touched."""
    _speech.set(speech)


def speech() -> Speech:
    """How this thread speaks."""
    return _speech.get()


@contextmanager
def as_in_files() -> Iterator[None]:
    """Within it figures are read and written as files have them, whatever the owner chose."""
    spoken = _speech.get()
    _speech.set(replace(spoken, formats=Formats()))
    try:
        yield
    finally:
        _speech.set(spoken)


def say(sentence: str, /, **values: object) -> str:
    """Return the sentence in the chosen language with its named places filled."""
    spoken = _speech.get()
    chosen = spoken.sentences.get(sentence) or sentence
    if not values:
        return chosen
    if spoken.formats.decimal == "comma":
        values = {name: _told(value) for name, value in values.items()}
    return chosen.format(**values)


def written(value: float, spec: str) -> str:
    """A figure by a format of Python, with the decimal mark of the chosen formats."""
    text = format(value, spec)
    return text.translate(_COMMA) if _speech.get().formats.decimal == "comma" else text


def _told(value: object) -> object:
    if isinstance(value, float):
        return _Told(value)
    return _Counted(value) if isinstance(value, int) and not isinstance(value, bool) else value


class _Counted(int):
    """A count within a sentence; its thousands are parted as those of other figures."""

    def __format__(self, spec: str) -> str:
        return written(int(self), spec)


class _Told(float):
    """A figure within a sentence: its format stands in the sentence, its mark does not."""

    def __format__(self, spec: str) -> str:
        return written(float(self), spec)
