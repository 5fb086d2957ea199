from tests.cli.conftest import Going


def test_undo_says_what_it_took_back(three: Going) -> None:
    three("wound", "Night", "Workshop c", "--was-going")
    assert three("undo") == (0, "Taken back: two windings (Night ferry, Workshop clock), given today 08:25.\n", "")


def test_undo_goes_back_change_by_change_to_the_beginning(going: Going) -> None:
    going("add", "Night ferry", "--stopped")
    going("worn", "Night")
    assert going("undo")[1] == "Taken back: a note of wear (Night ferry), given today 08:25.\n"
    assert going("undo")[1] == "Taken back: a watch added and a sighting (Night ferry), given today 08:25.\n"
    assert going("undo") == (4, "", "going: There is nothing to undo.\n")
