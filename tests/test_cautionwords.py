import inspect

import pytest

from tracker import cautionwords
from tracker.cautionwords import (
    calendar_change,
    date_change,
    no_resistance,
    radium,
    water,
    winder_on_mains,
    wound_spring,
)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (wound_spring(), ("let the power down before opening", "eyes", "spring winder", "trained watchmaker")),
        (radium(), ("radium", "do not open, scrape or brush", "local rules")),
        (cautionwords.cleaning(), ("Solvents", "ultrasonic baths", "ventilate", "local rules")),
        (winder_on_mains(), ("on the mains", "maker's instructions")),
        (water(), ("only if it was tested", "ISO 22810")),
        (date_change(), ("between 9 pm and 3 am", "not by the room's clock")),
        (calendar_change(), ("between 8 pm and 4 am", "not by the room's clock")),
    ],
)
def test_each_names_the_danger_and_what_to_do(said: str, words: tuple[str, ...]) -> None:
    assert [word for word in words if word not in said] == []


def test_an_automatics_crown_is_never_said_to_resist() -> None:
    assert no_resistance(38.0) == "Stop at its 38 turns; it gives no resistance."
    assert no_resistance(None) == "It gives no resistance at full wind: count the turns."


def test_each_is_short() -> None:
    """Two lines of a page at most; a caution that is long is not read."""
    plain = [each for _, each in inspect.getmembers(cautionwords, inspect.isfunction) if each.__name__ != "say"]
    said = [each() for each in plain if not inspect.signature(each).parameters]
    assert len(said) > 10
    assert [each for each in said if len(each) > 170] == []
