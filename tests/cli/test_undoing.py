from tests.cli.conftest import Going


def test_undo_says_what_it_took_back(three: Going) -> None:
    three("wound", "Night", "Workshop c", "--was-going")
    assert three("undo") == (0, "Taken back: windings: 2 (Night ferry, Workshop clock), given today 08:25.\n", "")


def test_undo_goes_back_change_by_change_to_the_beginning(going: Going) -> None:
    going("add", "Night ferry", "--stopped")
    going("worn", "Night")
    assert going("undo")[1] == "Taken back: wear: 1 (Night ferry), given today 08:25.\n"
    assert going("undo")[1] == "Taken back: watches added: 1, sightings: 1 (Night ferry), given today 08:25.\n"
    assert going("undo") == (4, "", "going: There is nothing to undo.\n")
