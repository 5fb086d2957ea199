"""What a proxy says is believed of the trusted one alone."""

from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.web.household import BY_PROXY, OWNERS, household, site
from tests.web.rounds import client
from tracker.reach import Reach
from tracker.store.store import Store

THROUGH = {"X-Forwarded-For": "203.0.113.9", "X-Forwarded-Proto": "https", "X-Forwarded-Host": "watches.example"}
PROXY, OTHER = {"REMOTE_ADDR": "127.0.0.1"}, {"REMOTE_ADDR": "192.168.1.66"}


@pytest.fixture
def app(store: Store) -> Flask:
    household(store)
    return site(store, BY_PROXY)


def test_the_trusted_proxys_word_is_taken_for_host_scheme_and_sender(store: Store, app: Flask) -> None:
    sender = {**THROUGH, "Origin": "https://watches.example"}
    for _ in range(4):
        answer = app.test_client().post("/log-in", data={"password": "wrong"}, headers=sender, environ_base=PROXY)
    assert answer.status_code == 429
    assert store.reading().execute("SELECT source FROM wrong_try ORDER BY 1").fetchall() == [("203.0.113.9",), ("all",)]


def test_only_the_nearest_word_of_a_proxy_counts(store: Store, app: Flask) -> None:
    sender = {**THROUGH, "X-Forwarded-For": "127.0.0.1, 203.0.113.9"}
    app.test_client().post("/log-in", data={"password": "wrong"}, headers=sender, environ_base=PROXY)
    assert ("203.0.113.9",) in store.reading().execute("SELECT source FROM wrong_try").fetchall()


def test_the_same_word_of_anyone_else_is_not_taken(store: Store, app: Flask) -> None:
    forged = {"X-Forwarded-For": "127.0.0.1", "X-Forwarded-Host": "localhost"}
    app.test_client().post("/log-in", data={"password": "wrong"}, headers=forged, environ_base=OTHER)
    assert ("192.168.1.66",) in store.reading().execute("SELECT source FROM wrong_try").fetchall()
    forged = {"Host": "elsewhere.example", "X-Forwarded-Host": "watches.example"}
    assert app.test_client().get("/log-in", headers=forged, environ_base=OTHER).status_code == 421


def test_a_name_that_is_not_configured_is_refused_by_the_proxy_too(app: Flask) -> None:
    other = {**THROUGH, "X-Forwarded-Host": "rebound.example"}
    assert app.test_client().get("/log-in", headers=other, environ_base=PROXY).status_code == 421


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "X-Forwarded-Host"])
def test_where_nobody_logs_in_nothing_is_answered_that_came_by_a_proxy(store: Store, header: str) -> None:
    browser: FlaskClient = client(store)
    answer = browser.get("/", headers={header: "203.0.113.9"})
    assert answer.status_code == 421
    assert "going.toml names none as trusted_proxy" in answer.text


def test_without_https_a_proxy_makes_no_secure_cookie(store: Store) -> None:
    household(store)
    app = site(store, replace(BY_PROXY, trusted_proxy=""))
    assert "Secure" not in app.test_client().post("/log-in", data={"password": OWNERS}).headers["Set-Cookie"]


def test_this_machine_alone_is_the_default() -> None:
    assert Reach() == Reach(("127.0.0.1",), logs_in=False, names=(), trusted_proxy="")
