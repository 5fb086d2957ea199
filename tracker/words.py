"""The catalogue: every label and sentence for people passes `say`.

The English sentence is the key. A translation is a mapping from it to a sentence with the same named places; what the
mapping lacks is said in English.
"""

from collections.abc import Mapping

_catalogue: dict[str, str] = {}


def say(sentence: str, /, **values: object) -> str:
    """Return the sentence in the chosen language with its named places filled."""
    chosen = _catalogue.get(sentence, sentence)
    return chosen.format(**values) if values else chosen


def use_catalogue(translations: Mapping[str, str]) -> None:
    """Speak through these translations from now on; an empty mapping means English."""
    _catalogue.clear()
    _catalogue.update(translations)
