import pytest

from tests.cli.conftest import Going


@pytest.mark.parametrize("name", ["Night ferry", "night", "N", "NIGHT F"])
def test_a_nickname_or_its_beginning_is_enough_in_any_capitals(three: Going, name: str) -> None:
    assert three("seen", name)[1].startswith("Night ferry: ")


def test_a_whole_nickname_wins_over_longer_ones(three: Going) -> None:
    three("add", "Workshop")
    assert three("seen", "workshop")[1].startswith("Workshop: ")


def test_an_accent_typed_in_two_characters_is_the_same(going: Going) -> None:
    going("add", "Éclair")
    assert going("seen", "e\u0301cl")[0] == 0


@pytest.mark.parametrize(
    ("names", "code", "sentence"),
    [
        (["work"], 2, "“work” may mean Workshop clock or Workshop spare. Write more of the nickname."),
        (["zz"], 4, "No nickname begins with “zz”. There are: Night ferry, Workshop clock, Workshop spare."),
        (
            ["Night", "ferry"],
            4,
            'No nickname begins with “ferry”. If you mean one watch, put it in quotes: "Night ferry"',
        ),
    ],
)
def test_a_name_that_means_none_or_several_is_told_with_what_fits(
    three: Going, names: list[str], code: int, sentence: str
) -> None:
    assert three("wound", *names) == (code, "", f"going: {sentence}\n")


def test_a_long_list_of_watches_is_cut_short(going: Going) -> None:
    going("add", *[f"Tray {n:02}" for n in range(1, 16)])
    assert going("seen", "zz")[2].endswith("Tray 11, Tray 12 and 3 more.\n")


def test_in_an_empty_collection_it_says_how_to_begin(going: Going) -> None:
    code, _, complaint = going("wound", "Night")
    assert code == 4
    assert complaint.endswith("yet. Add one: going add NICKNAME\n")
