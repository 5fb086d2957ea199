"""Run-down tests on the command line."""

from tests.cli.conftest import Going


def test_a_test_is_begun_listed_and_broken_off(going: Going) -> None:
    going("add", "Night ferry", "--reserve", "42")
    assert going("bench")[1].startswith("No run-down test is going.")
    code, said, _ = going("rundown", "Night", "--occasion", "after-service")
    assert code == 0
    assert said.startswith("Night ferry: wound fully and set just now, under test.")
    told = going("bench")[1]
    assert told.startswith("One run-down going")
    assert "Night ferry" in told
    assert "Next look" in told
    assert going("rundown", "Night", "--end", "dropped")[1].startswith("Night ferry: the test is over.")
    assert going("bench")[1].startswith("No run-down test is going.")


def test_a_watch_not_under_test_has_none_to_end(going: Going) -> None:
    going("add", "Night ferry")
    code, _, complaint = going("rundown", "Night", "--end", "dropped")
    assert code == 4
    assert "Night ferry is not under test." in complaint
