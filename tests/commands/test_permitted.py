"""Who may give which command: the door refuses, whatever page or program asks."""

from typing import Any

import pytest

from tests.commands.test_registry import BEFORE, MAIL, OPENS, SAMPLES, WORD
from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.permitted import HELPERS_MAY
from tracker.errors import Forbidden, GoingError
from tracker.store import channels, people
from tracker.store.store import Store
from tracker.uids import uid_of


@pytest.fixture
def used(store: Store, who: Who) -> Store:
    with store.change() as db:
        channels.keep_address(db, MAIL, "https://127.0.0.1/hook")
        people.keep_hash(db, OPENS, "of a token")
        db.execute("INSERT INTO secret (uid, hash) VALUES (?, 'of a password')", [WORD])
    submit(store, [build(COMMANDS[kind], fields) for kind, fields in BEFORE], who)
    return store


def test_what_a_helper_may_do_is_named_and_nothing_else() -> None:
    assert {"LogWind", "LogSighting", "AttachPhotograph", "EndTest", "Undo"} == HELPERS_MAY
    assert set(COMMANDS) >= HELPERS_MAY


def test_every_other_command_is_refused_to_a_helper(used: Store, helper: Who) -> None:
    before = list(used.reading().conn.iterdump())
    for kind in sorted(COMMANDS.keys() - HELPERS_MAY):
        with pytest.raises(Forbidden, match="Only an owner may do this; nothing was changed"):
            submit(used, [build(COMMANDS[kind], SAMPLES[kind])], helper)
    assert list(used.reading().conn.iterdump()) == before


@pytest.mark.parametrize("kind", ["LogWind", "LogSighting"])
def test_a_helper_notes_what_was_done_and_takes_it_back(used: Store, helper: Who, kind: str) -> None:
    fields: dict[str, Any] = {name: value for name, value in SAMPLES[kind].items() if name != "replaces"}
    assert submit(used, [build(COMMANDS[kind], fields)], helper).applied == 1
    by = used.reading().execute("SELECT person_uid FROM command_log ORDER BY number DESC LIMIT 1").fetchone()
    assert by == (helper.person_uid,)
    assert submit(used, [build(COMMANDS["Undo"], {})], helper).applied == 1


def test_a_helper_corrects_and_takes_back_nobody_elses_notes(used: Store, helper: Who) -> None:
    with pytest.raises(Forbidden):
        submit(used, [build(COMMANDS["LogWind"], SAMPLES["LogWind"])], helper)
    with pytest.raises(GoingError, match="There is nothing to undo"):
        submit(used, [build(COMMANDS["Undo"], {})], helper)


def test_one_forbidden_command_among_others_keeps_all_of_them_out(used: Store, helper: Who) -> None:
    seen = build(COMMANDS["LogSighting"], SAMPLES["LogSighting"])
    before = list(used.reading().conn.iterdump())
    with pytest.raises(Forbidden):
        submit(used, [seen, build(COMMANDS["ArchiveWatch"], SAMPLES["ArchiveWatch"])], helper)
    assert list(used.reading().conn.iterdump()) == before


def test_a_stranger_is_refused_everything(used: Store, who: Who) -> None:
    stranger = Who(person_uid=uid_of("stranger"), origin="page", now=who.now, zone="UTC")
    with pytest.raises(Forbidden, match="You are not among the people"):
        submit(used, [build(COMMANDS["LogSighting"], SAMPLES["LogSighting"])], stranger)
