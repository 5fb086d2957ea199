"""Channels on the command line."""

import io
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tracker.cli import channel
from tracker.collection import open_collection
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.store import channels as shelf

SECRET = "https://hook.example/s3cret"  # noqa: S105 -- of a test


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{SECRET}\nand more\n"))


@pytest.fixture
def used(going: Going, typed: None) -> Going:
    assert typed is None
    said = going("channel", "add", "Phone")
    assert said == (0, "Added: Phone. Try it: going channel test. To take it back: going undo\n", "")
    return going


def _kept(folder: Path) -> list[tuple[str, bool, str]]:
    with closing(open_collection(folder, NOW)) as store:
        db = store.reading()
        return [(each.name, each.paused, shelf.address_of(db, each.uid)) for each in shelf.channels(db)]


def test_its_address_comes_by_the_input_and_is_told_nowhere(used: Going, folder: Path) -> None:
    assert _kept(folder) == [("Phone", False, SECRET)]
    code, said, complaint = used("channel", "list")
    assert (code, complaint) == (0, "")
    assert [line.split(maxsplit=1) for line in said.splitlines()] == [
        ["channel", "how it is"],
        ["Phone", "in use; nothing sent yet"],
    ]


def test_at_a_terminal_it_is_asked_for_unseen(going: Going, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(channel, "getpass", lambda _: SECRET)
    assert going("channel", "add", "Phone")[0] == 0
    assert _kept(folder) == [("Phone", False, SECRET)]


def test_without_any_it_says_how_to_begin(going: Going) -> None:
    assert "going channel add NAME" in going("channel", "list")[1]


def test_what_can_not_be_taken_is_refused_without_the_address(
    going: Going, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("file:///etc/s3cret\n"))
    code, _, complaint = going("channel", "add", "Phone")
    assert code == 2
    assert "No reminders go by “file”." in complaint
    assert "s3cret" not in complaint
    assert _kept(folder) == []


def test_it_is_paused_goes_on_is_removed_and_taken_back(used: Going, folder: Path) -> None:
    assert used("channel", "pause", "phone")[1].startswith("Paused: Phone.")
    assert _kept(folder)[0][1]
    assert used("channel", "go-on", "Phone")[1].startswith("Goes on: Phone.")
    assert used("channel", "remove", "Phone")[1].startswith("Removed: Phone.")
    assert _kept(folder) == []
    assert used("undo")[1].startswith("Taken back: a channel removed")
    assert _kept(folder) == [("Phone", False, SECRET)]


def test_a_name_that_none_has_is_told(used: Going) -> None:
    code, _, complaint = used("channel", "test", "Mail")
    assert code == 4
    assert "No channel is called “Mail”. going channel list tells which there are." in complaint


@pytest.mark.parametrize(
    ("answer", "code", "said"),
    [(Answer("sent"), 0, "Phone: sent."), (Answer("failed", "Down."), 5, "Phone: not sent. Down.")],
)
def test_a_test_message_says_what_came_of_it(
    used: Going, monkeypatch: pytest.MonkeyPatch, answer: Answer, code: int, said: str
) -> None:
    sent: list[str] = []

    def send(address: str, _message: Message) -> Answer:
        sent.append(address)
        return answer

    monkeypatch.setattr("tracker.reminders.deliver.send", send)
    left, out, complaint = used("channel", "test", "Phone")
    assert (left, sent) == (code, [SECRET])
    assert said in out + complaint
