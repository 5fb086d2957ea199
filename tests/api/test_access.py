"""Who may ask what and give which command: every address for every kind of token, for none, and for browsers."""

from collections.abc import Iterator

import pytest
from flask import Flask

from tests.api.documented import checked
from tests.api.house import (
    ENDED,
    EXPIRED,
    GRETE,
    HELPERS,
    LOOKS,
    NIGHT,
    OWNERS,
    SECRETS,
    WINDS,
    Program,
    dump,
    problem_of,
)  # fmt: skip
from tests.api.samples import ASKED, SENT
from tests.commands.test_registry import PHONE, STOP, TEST
from tests.web.household import AT_HOME, logged_in
from tests.web.rounds import NOW, give
from tracker.api.commands import OFFERED
from tracker.api.reads import LAID, READS
from tracker.collection import owner
from tracker.commands.permitted import HELPERS_MAY
from tracker.commands.settings import ChangeSettings
from tracker.commands.token import EndToken
from tracker.passwords import new_password
from tracker.store import people
from tracker.store.store import Store
from tracker.uids import new_uid, uid_of
from tracker.web import access
from tracker.web.safety import LOOPBACK

HELPERS_READ = {"openapi", "watches", "watch", "standing", "round"}
HELPERS_GIVE = {"log-wind", "log-sighting", "attach-photograph", "end-test", "undo"}
READ = {**ASKED, "openapi": "/openapi.json", "watches": "/watches"}
NOBODY = [None, "", "going_", EXPIRED, ENDED, "going_x", OWNERS[:-1], OWNERS + "x", "x" * 5000, "\u00e9"]


def sent(program: Program, path: str) -> int:
    """The status of the example of a command, whatever version it edits."""
    return program.give(path, SENT[path], **({"If_Match": '"1"'} if OFFERED[path].edits else {})).status_code


def rules(app: Flask) -> Iterator[tuple[str, str]]:
    for rule in app.url_map.iter_rules():
        if rule.endpoint.startswith("api."):
            path = rule.rule.replace("<uid>", NIGHT).replace("<name>", "log-wind")
            yield from ((path, method) for method in sorted((rule.methods or set()) & {"GET", "HEAD", "POST"}))


def test_the_table_is_the_one_that_was_agreed_and_names_what_is_there(program: Program) -> None:
    assert {rule.endpoint for rule in program.app.url_map.iter_rules()} >= access.HELPERS_PROGRAMS
    assert {f"api.{name}" for name in HELPERS_READ} | {"api.command", "api.keep_file"} == access.HELPERS_PROGRAMS
    assert {read.name for read in READS if read.for_helpers} == HELPERS_READ - {"openapi"}
    assert {path for path, asked in OFFERED.items() if asked.for_helpers} == HELPERS_GIVE
    assert {OFFERED[path].name for path in HELPERS_GIVE} == HELPERS_MAY
    assert [laid.name for laid in LAID if laid.for_helpers] == ["keep-file"]


@pytest.mark.parametrize("secret", NOBODY)
def test_without_a_token_that_opens_something_nothing_is_told_or_changed(store: Store, secret: str | None) -> None:
    program, before = Program(store, secret, reach=AT_HOME), dump(store)
    for path, method in rules(program.app):
        answer = program.client.open(path, method=method, headers=program.headers, json={})
        assert answer.status_code == 401, (method, path)
        assert answer.headers["WWW-Authenticate"] == "Bearer"
        assert answer.mimetype == "application/problem+json"
    assert dump(store) == before


@pytest.mark.parametrize("header", ["", "Bearer", "Basic Z29pbmc6eA==", f"Token {OWNERS}", OWNERS])
def test_a_token_comes_as_a_bearers_and_in_no_other_way(store: Store, header: str) -> None:
    answer = Program(store, None).get("/watches", Authorization=header)
    problem_of(answer, 401)
    problem_of(Program(store, None, reach=AT_HOME).get(f"/watches?access_token={OWNERS}"), 401)


@pytest.mark.parametrize("host", LOOPBACK)
def test_on_this_machine_alone_reading_needs_no_token_and_writing_does(store: Store, host: str) -> None:
    program, before = Program(store, None), dump(store)
    for name, path in READ.items():
        assert program.get(path, Host=host).status_code == 200, name
    for path in SENT:
        assert sent(program, path) == 401, path
    for laid in LAID:
        answer = program.client.post(f"/api{laid.path}", data=b"{}", content_type=laid.takes[0])
        assert answer.status_code == 401
    assert dump(store) == before


def test_a_token_that_looks_changes_nothing(store: Store) -> None:
    program, before = Program(store, LOOKS, reach=AT_HOME), dump(store)
    assert {program.get(path).status_code for path in READ.values()} == {200}
    assert {sent(program, path) for path in SENT} == {403}
    for laid in LAID:
        assert program.client.post(f"/api{laid.path}", data=b"", headers=program.headers).status_code == 403
    assert dump(store) == before


def test_a_token_for_winds_and_sightings_does_no_more(store: Store) -> None:
    program = Program(store, WINDS, reach=AT_HOME)
    before = dump(store)
    assert {path for path in SENT if path not in HELPERS_GIVE and sent(program, path) != 403} == set()
    assert dump(store) == before
    give(store, ChangeSettings(notice_h=5))
    assert sent(program, "undo") == 403  # the owner's newest change, but no wind
    assert sent(program, "log-wind") == 200
    assert sent(program, "undo") == 200
    assert {program.get(path).status_code for path in READ.values()} == {200}


def test_a_helpers_token_winds_and_looks_and_no_more(store: Store) -> None:
    program, before = Program(store, HELPERS, reach=AT_HOME), dump(store)
    for name, path in READ.items():
        assert program.get(path).status_code == (200 if name in HELPERS_READ else 403), name
    for path in SENT.keys() - HELPERS_GIVE:
        assert sent(program, path) == 403, path
    assert dump(store) == before
    assert sent(program, "log-wind") == 200
    corrects = program.give("log-wind", {**SENT["log-wind"], "replaces": uid_of("its wind")})
    assert corrects.status_code == 403
    (who,) = store.reading().execute("SELECT person_uid FROM winding ORDER BY rowid DESC LIMIT 1").fetchone()
    assert who == GRETE


def test_a_token_for_winds_takes_back_no_one_elses(store: Store) -> None:
    key = uid_of("Grete's wind")
    assert Program(store, HELPERS).give("log-wind", SENT["log-wind"], Idempotency_Key=key).status_code == 200
    before = dump(store)
    problem_of(Program(store, WINDS).give("undo", {"batch": key}), 404)
    assert dump(store) == before
    assert Program(store, OWNERS).give("undo", {"batch": key}).status_code == 200


@pytest.mark.parametrize("name", sorted(HELPERS_READ - {"openapi"}))
def test_what_is_the_owners_is_told_to_no_helper(store: Store, name: str) -> None:
    told = Program(store, HELPERS, reach=AT_HOME).get(READ[name]).text
    assert [secret for secret in SECRETS if secret in told] == []
    assert "Job" not in told  # a customer's


def test_the_owner_does_read_it_there(store: Store) -> None:
    told = Program(store, OWNERS, reach=AT_HOME).get(READ["watch"]).text
    assert [secret for secret in SECRETS if secret not in told] == []


def test_no_answer_tells_who_lives_there_or_any_address(store: Store) -> None:
    program = Program(store)
    me = owner(store, "page", NOW).person_uid
    for path in READ.values():
        told = program.get(path).text
        assert [word for word in (me, GRETE, "Grete", "127.0.0.1/hook", OWNERS) if word in told] == []


def test_a_helper_learns_nothing_by_the_key_of_another(store: Store) -> None:
    key = uid_of("the owner's")
    Program(store, OWNERS).give("log-wind", SENT["log-wind"], Idempotency_Key=key)
    problem_of(Program(store, HELPERS).give("log-wind", SENT["log-wind"], Idempotency_Key=key), 409)


def test_a_token_ended_or_renewed_opens_nothing_from_then_on(store: Store) -> None:
    program = Program(store, OWNERS, reach=AT_HOME)
    assert program.get("/watches").status_code == 200
    give(store, EndToken(token_uid=uid_of("token", OWNERS)))
    problem_of(program.get("/watches"), 401)
    problem_of(program.give("log-wind", SENT["log-wind"]), 401)


def test_no_program_brings_back_a_token_that_was_ended(store: Store) -> None:
    give(store, EndToken(token_uid=uid_of("token", WINDS)))
    before = dump(store)
    problem_of(Program(store).give("undo", {}), 403)
    assert dump(store) == before


@pytest.mark.parametrize(
    "kind", ["add-person", "edit-person", "remove-person", "set-password", "add-token", "end-token"]
)
def test_who_may_come_in_is_changed_by_no_program(store: Store, kind: str) -> None:
    before = dump(store)
    problem_of(Program(store).give(kind, {}), 404)
    assert dump(store) == before


def test_a_cookie_is_taken_for_nothing(store: Store) -> None:
    person = people.first_owner(store.reading())
    assert person is not None
    give(store, new_password(store, new_uid(NOW), person, "the owner's own words"))
    program = Program(store, None, reach=AT_HOME, alone=True)
    program.app.config["WTF_CSRF_ENABLED"] = False
    browser = logged_in(program.app, "", "the owner's own words")
    before = dump(store)
    assert browser.get("/collection").status_code == 200
    problem_of(browser.get("/api/watches"), 401)
    problem_of(browser.post("/api/commands/log-wind", json=SENT["log-wind"]), 401)
    assert dump(store) == before


@pytest.mark.parametrize("headers", [{"Origin": "https://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}])
def test_another_sites_page_changes_nothing_even_with_a_token(store: Store, headers: dict[str, str]) -> None:
    program, before = Program(store), dump(store)
    program.headers |= headers
    problem_of(program.give("log-wind", SENT["log-wind"]), 403)
    assert dump(store) == before


def test_no_other_origin_is_ever_let_read(store: Store) -> None:
    answer = Program(store).get("/watches", Origin="https://elsewhere.example")
    assert not [name for name, _ in answer.headers if name.lower().startswith("access-control")]
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_of_a_stranger_less_is_read(store: Store) -> None:
    answer = Program(store, None, reach=AT_HOME).client.post(
        "/api/commands/log-wind", data=b"x" * 30_000, content_type="application/json"
    )
    assert answer.status_code in {401, 413}


def test_helpers_end_a_test_and_send_a_photograph(store: Store) -> None:
    program = Program(store, HELPERS, reach=AT_HOME)
    given = program.give("end-test", {"test_uid": TEST, "how": "broken off", "reason": "needed"})
    assert given.status_code == 200
    picture = {"sha256": "0" * 64, "media_type": "image/png", "size_bytes": 17}
    checked("attach-photograph", program.give("attach-photograph", {"entry_uid": STOP, **picture}))
    assert program.get(f"/channels/{PHONE}").status_code == 403
