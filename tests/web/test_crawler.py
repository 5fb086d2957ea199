"""Attacks on every form there is: each refused, and not a row of the file changed."""

import re
from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.routing import Rule

from tests.web.household import helper, household, site, the_owner
from tests.web.rounds import register
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

UID = uid_of("anything")


@pytest.fixture
def watch(store: Store) -> str:
    household(store)
    return register(store, "Night ferry", 20.0)


OWN = {"links.answer", "login.enter", "login.leave"}
"""Links in messages are their own secret; the log-in and the log-out change nothing of the collection."""
HELPERS = frozenset({"logform.page", "entry.tap", "entry.undo", "kept.send", "typedin.page"})


def forms(app: Flask, watch: str, but: frozenset[str]) -> Iterator[tuple[Rule, str]]:
    """Every address that takes a form, but these."""
    for rule in app.url_map.iter_rules():
        programs = rule.endpoint.startswith("api.")  # they take no forms: tests/api/test_access.py
        if "POST" in (rule.methods or ()) and not programs and rule.endpoint not in OWN | but:
            yield rule, re.sub(r"<[^>]*uid>", watch, re.sub(r"<(?!uid)[^>]*>", UID, rule.rule))


def attacked(
    store: Store,
    app: Flask,
    browser: FlaskClient,
    watch: str,
    *,
    expected: int,
    but: frozenset[str] = frozenset(),
    **how: object,
) -> None:
    before = list(store.reading().conn.iterdump())
    seen = 0
    for rule, path in forms(app, watch, but):
        answer = browser.post(path, **{"data": {"uid": UID, "watch_uid": watch}, **how})
        assert answer.status_code == expected, (rule.rule, answer.status_code)
        seen += 1
    assert seen > 30
    assert list(store.reading().conn.iterdump()) == before


def test_no_form_is_taken_without_its_token(store: Store, watch: str) -> None:
    app = create_app(store)
    attacked(store, app, app.test_client(), watch, expected=400)


@pytest.mark.parametrize(
    "headers", [{"Origin": "https://elsewhere.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"}]
)
def test_no_form_is_taken_from_another_sites_page(store: Store, watch: str, headers: dict[str, str]) -> None:
    app = create_app(store)
    app.config["WTF_CSRF_ENABLED"] = False
    attacked(store, app, app.test_client(), watch, expected=403, headers=headers)


def test_no_form_is_taken_with_another_persons_token(store: Store, watch: str) -> None:
    app = site(store)
    owners, helpers = the_owner(app), helper(app)
    app.config["WTF_CSRF_ENABLED"] = True
    theirs = re.search(r'name="csrf_token" value="([^"]+)"', helpers.get("/").text)
    assert theirs is not None
    attacked(store, app, owners, watch, expected=400, data={"csrf_token": theirs[1], "uid": UID, "watch_uid": watch})


def test_a_helper_changes_nothing_of_the_owners(store: Store, watch: str) -> None:
    app = site(store)
    attacked(store, app, helper(app), watch, expected=403, but=HELPERS)


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static//etc/passwd",
        "/photograph/..%2f..%2fgoing.db",
        "/calendar/..%2flink-key.ics",
        "/pictures/plotly-..%2f..%2fapp.js",
        "/static/%00",
    ],
)
def test_no_path_leads_out_of_its_folder(store: Store, path: str) -> None:
    with create_app(store).test_client().get(path) as answer:
        assert answer.status_code in {308, 404}
        assert b"import" not in answer.data
        assert b"SQLite format" not in answer.data


def test_more_than_a_form_holds_is_refused_with_a_sentence(store: Store) -> None:
    app = create_app(store)
    answer = app.test_client().post("/log/tap", data={"do": "x" * 2_100_000})
    assert answer.status_code == 413
    assert "That is too much to take in one go." in answer.text


def test_of_a_stranger_less_is_read(store: Store) -> None:
    answer = site(store).test_client().post("/log-in", data={"password": "x" * 30_000})
    assert answer.status_code == 413
