"""Timing readings on the command line."""

import json

from tests.cli.conftest import Going


def test_a_reading_is_noted_and_told_with_what_stands_behind_it(going: Going) -> None:
    going("add", "Night ferry", "--lift-angle", "50")
    code, said, _ = going(
        "reading", "Night", "--position", "ch", "--rate=-4,2", "--amplitude", "285", "--since-wind", "30"
    )
    assert (code, said.splitlines()[0]) == (0, "Night ferry: read CH (dial up), just now. To take it back: going undo")
    told = going("readings", "Night")[1]
    assert (
        told.splitlines()[0] == "Night ferry: −4.2 s a day on the mean of its positions, amplitude 285° at full wind."
    )
    assert "Amplitude, flat: 285° (1 reading)" in told


def test_for_other_programs(going: Going) -> None:
    going("add", "Night ferry")
    going(
        "reading",
        "Night",
        "--position",
        "CB",
        "--amplitude",
        "230",
        "--since-wind",
        "1440",
        "--occasion",
        "after-service",
    )
    (told,) = json.loads(going("readings", "Night", "--json")[1])
    assert told["watch"] == "Night ferry"
    assert told["day"]["flat_amplitude"] == {"value": 230.0, "readings": 1, "assumed": True}
    assert told["isochronism"] is None


def test_a_day_of_the_programme_has_its_sums(going: Going) -> None:
    going("add", "Regulator")
    going("reading", "Regulator", "--position", "6H", "--rate", "2", "--programme-day", "1", "--temperature", "23")
    told = going("readings", "Regulator")[1]
    assert "The seven figures of ISO 3159; not a certificate" in told
    assert "Resumption of rate: not yet: days missing: 2, 15" in told


def test_what_can_t_be_taken_is_told_by_its_option(going: Going) -> None:
    going("add", "Night ferry")
    code, _, complaint = going("reading", "Night", "--position", "CH", "--amplitude", "400")
    assert code == 2
    assert "--amplitude: 400 is too large. Give 360 or less." in complaint
    assert "--position" in going("reading", "Night", "--rate", "3")[2]
