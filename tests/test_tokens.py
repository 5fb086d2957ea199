"""Tokens: shown once, kept as a hash, good for what they say and for no longer."""

from datetime import timedelta

import pytest

from tests.web.rounds import NOW, give
from tracker import renewal
from tracker.cli import peopleoptions
from tracker.collection import owner
from tracker.commands.person import AddPerson, EditPerson, RemovePerson
from tracker.commands.token import EndToken
from tracker.store import people, tokens
from tracker.store.store import Store
from tracker.tokens import new_token, person_of_token
from tracker.uids import new_uid, uid_of


def made(store: Store, **fields: object) -> str:
    command, secret = new_token(store, new_uid(NOW), {"name": "display", "scope": "log", **fields})
    give(store, command)
    return secret


def test_a_token_tells_whose_it_is_and_what_it_opens(store: Store) -> None:
    bearer = person_of_token(store, made(store), NOW)
    assert bearer is not None
    assert (bearer.person.role, bearer.scope) == ("owner", "log")
    assert tokens.tokens(store.reading(), NOW)[0].used == NOW


def test_nothing_that_is_kept_holds_its_secret(store: Store) -> None:
    secret = made(store)
    assert secret.removeprefix("going_") not in "\n".join(store.reading().conn.iterdump())
    assert len(secret) > 40


@pytest.mark.parametrize("secret", ["", "going_", "going_x", "\x00", "a" * 10_000])
def test_what_is_no_token_opens_nothing(store: Store, secret: str) -> None:
    made(store)
    assert person_of_token(store, secret, NOW) is None


def test_a_token_ends_by_its_day_by_hand_and_with_its_person(store: Store) -> None:
    secret = made(store, expires=NOW + timedelta(days=1))
    assert person_of_token(store, secret, NOW + timedelta(hours=23)) is not None
    assert person_of_token(store, secret, NOW + timedelta(days=1)) is None
    other = made(store, name="other")
    ended = next(each for each in tokens.tokens(store.reading(), NOW) if each.name == "other")
    give(store, EndToken(token_uid=ended.uid))
    assert person_of_token(store, other, NOW) is None
    me = people.first_owner(store.reading())
    assert me is not None
    give(store, AddPerson(uid=uid_of("g"), name="Grete", role="owner"), RemovePerson(person_uid=me.uid))
    assert person_of_token(store, secret, NOW) is None


def test_a_token_is_never_more_than_its_person(store: Store) -> None:
    secret = made(store, scope="all")
    me = people.first_owner(store.reading())
    assert me is not None
    give(store, AddPerson(uid=uid_of("g"), name="Grete", role="owner"))
    give(store, EditPerson(person_uid=me.uid, name="I", role="helper"))
    bearer = person_of_token(store, secret, NOW)
    assert bearer is not None
    assert bearer.person.role == "helper"


def test_secrets_given_anew_make_the_former_worthless(store: Store) -> None:
    secret, folder, who = made(store), store.path.parent, owner(store, "page", NOW)
    before = renewal.session_key(folder)
    for what in renewal.KINDS:
        assert renewal.renew(store, what, who)
    assert person_of_token(store, secret, NOW) is None
    assert renewal.session_key(folder) != before
    assert (folder / renewal.SESSION_KEY_FILE).stat().st_mode & 0o077 == 0
    assert (folder / "link-key").stat().st_mode & 0o077 == 0


def test_the_command_line_knows_every_word_of_ours() -> None:
    assert tuple(renewal.KINDS) == peopleoptions.SECRETS
    assert tokens.SCOPES == peopleoptions.SCOPES
