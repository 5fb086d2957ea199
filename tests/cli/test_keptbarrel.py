"""`going barrel WATCH`: what is kept of its barrel, and what that comes to."""

import json

from tests.cli.conftest import Going
from tests.core.barrel.drums import USUAL

SET = [word for name, value in USUAL.items() for word in ("--set", f"{name}={value}")]


def test_a_barrel_is_kept_and_shown_with_its_sums(three: Going) -> None:
    code, said, complaint = three("barrel", "Night", *SET)
    assert (code, complaint) == (0, "")
    assert said.startswith(
        "The barrel of Night ferry is kept. To take it back: going undo\n8.2 turns, 53 h down to 3.0 N mm.\n"
    )
    assert three("barrel", "Night")[1] in said
    assert "A wound mainspring can injure" in said


def test_one_field_is_changed_and_the_others_stay(three: Going) -> None:
    three("barrel", "Night", *SET)
    three(
        "barrel",
        "Night",
        "--set",
        "length_mm=13 in",
        "--set",
        "hours_per_turn=",
        "--set",
        "barrel_teeth=72",
        "--set",
        "pinion_leaves=12",
    )
    answer = json.loads(three("barrel", "Night", "--json")[1])
    assert (answer["length_mm"], answer["hours_per_turn"], answer["thickness_mm"]) == (330.2, None, 0.115)
    assert answer["sums"]["reserve_h"] == 6 * answer["sums"]["usable_turns"]


def test_what_is_missing_is_named(three: Going) -> None:
    assert three("barrel", "Night")[1] == "Nothing is kept of the barrel of Night ferry yet.\n"
    said = three("barrel", "Night", "--set", "drum_diameter_mm=11")[1]
    assert "No sum yet; still needed: the arbor's diameter, " in said


def test_a_wrong_call_gets_one_sentence(three: Going) -> None:
    for words, sentence in (
        (("Night", "--set", "colour=blue"), "--set: “colour=blue” is no field with its value. Give NAME=VALUE; "),
        (("Night", "--set", "thickness_mm=thin"), "thickness_mm: “thin” is not a length."),
        ((), "Name a watch, or a file by --from."),
    ):
        code, said, complaint = three("barrel", *words)
        assert (code, said) == (2, "")
        assert complaint.startswith(f"going: {sentence}")
