"""People, passwords, tokens and secrets on the command line."""

import io
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tracker.collection import open_collection
from tracker.passwords import matches
from tracker.store import people
from tracker.tokens import person_of_token

WORDS = "four words of mine"


def typed(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))


def test_people_are_added_changed_and_removed(going: Going) -> None:
    assert (
        "Added: Grete. A password to log in with: going password --person Grete" in going("person", "add", "Grete")[1]
    )
    assert "Grete: owner." in going("person", "role", "grete", "owner")[1]
    assert "Grete" in going("person", "list")[1]
    assert "Removed: Grete" in going("person", "remove", "Grete")[1]
    assert "Grete" not in going("person", "list")[1]
    assert going("person", "remove", "Grete")[0] == 4


def test_a_password_comes_from_the_input_and_is_kept_as_a_hash(
    going: Going, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, f"{WORDS}\n")
    code, said, _ = going("password")
    assert (code, said) == (0, "The password of owner is set. Browsers have to log in again.\n")
    with closing(open_collection(folder, NOW)) as store:
        db = store.reading()
        owner = people.first_owner(db)
        assert owner is not None
        assert matches(people.hash_of(db, owner.secret_uid), WORDS)
        assert not matches(people.hash_of(db, owner.secret_uid), WORDS.upper())
        assert WORDS not in "\n".join(db.conn.iterdump())


@pytest.mark.parametrize("password", ["short", "x" * 501])
def test_a_weak_password_changes_nothing(going: Going, monkeypatch: pytest.MonkeyPatch, password: str) -> None:
    typed(monkeypatch, password)
    code, _, complaint = going("password")
    assert code == 2
    assert "This password is too" in complaint
    assert "none" in going("person", "list")[1]


def test_a_password_is_no_argument(going: Going) -> None:
    assert going("password", WORDS)[0] == 2


def test_a_token_is_written_once_and_ends(going: Going, folder: Path) -> None:
    code, secret, told = going("token", "add", "kitchen display", "--scope", "log", "--days", "30")
    assert (code, told) == (0, "The token is not shown again:\n")
    with closing(open_collection(folder, NOW)) as store:
        assert person_of_token(store, secret.strip(), NOW) is not None
    listed = going("token", "list")[1]
    assert "kitchen display" in listed
    assert secret.strip() not in listed
    assert "Ended: kitchen display." in going("token", "end", "Kitchen display")[1]
    with closing(open_collection(folder, NOW)) as store:
        assert person_of_token(store, secret.strip(), NOW) is None


@pytest.mark.parametrize("what", ["sessions", "links", "calendar", "tokens"])
def test_each_secret_can_be_given_anew(going: Going, what: str) -> None:
    assert going("renew", what)[0] == 0


def test_what_is_no_secret_is_refused(going: Going) -> None:
    assert going("renew", "everything")[0] == 2


class Terminal(io.StringIO):
    """Someone sits there."""

    def isatty(self) -> bool:
        return True


def test_the_first_start_for_others_asks_for_a_password_once_at_the_terminal(
    going: Going, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def answer(prompt: str) -> str:
        asked.append(prompt)
        return WORDS

    served: list[str] = []
    monkeypatch.setattr("tracker.cli.people.getpass", answer)
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("tracker.serve.serve", lambda *_, **__: served.append("served"))
    (folder / "going.toml").write_text('[web]\ntrusted_proxy = "127.0.0.1"\n')
    for _ in range(2):
        code, said, _ = going("serve", "--port", "0")
        assert code == 0, said
    assert asked == ["New password (it is not shown): ", "Once more: "]
    assert served == ["served", "served"]
    with closing(open_collection(folder, NOW)) as store:
        mine = people.first_owner(store.reading())
        assert mine is not None
        assert matches(people.hash_of(store.reading(), mine.secret_uid), WORDS)
