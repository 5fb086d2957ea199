"""Logging in: who comes in, for how long, and who does not."""

import re
from datetime import timedelta

import pytest
from flask import Flask

from tests.web.household import BY_PROXY, HELPERS, OWNERS, household, logged_in, site, the_owner
from tests.web.rounds import NOW
from tracker.store.store import Store
from tracker.web.request import COOKIE


@pytest.fixture
def app(store: Store) -> Flask:
    household(store)
    return site(store)


def test_after_the_log_in_one_is_where_one_wanted_to_go(app: Flask) -> None:
    browser = app.test_client()
    to = browser.get("/collection?q=x").headers["Location"]
    assert to == "/log-in?next=/collection?q%3Dx"
    assert "Who are you?" in browser.get(to).text
    answer = browser.post("/log-in", data={"name": "owner", "password": OWNERS, "next": "/collection?q=x"})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/collection?q=x")
    assert browser.get("/settings").status_code == 200


@pytest.mark.parametrize("wanted", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"])
def test_a_log_in_leads_to_no_other_site(app: Flask, wanted: str) -> None:
    answer = app.test_client().post("/log-in", data={"name": "owner", "password": OWNERS, "next": wanted})
    assert answer.headers["Location"] == "/"


def test_an_unknown_person_and_a_wrong_password_get_the_same_answer(app: Flask) -> None:
    answers = [
        app.test_client().post("/log-in", data={"name": "Nobody", "password": OWNERS}),
        app.test_client().post("/log-in", data={"name": "owner", "password": HELPERS}),
    ]
    token = re.compile(r'name="csrf_token" value="[^"]+"')
    texts = {token.sub("", each.text.replace("Nobody", "owner")) for each in answers}
    assert {each.status_code for each in answers} == {403}
    assert len(texts) == 1
    assert "This name and this password do not belong together." in texts.pop()


def test_the_password_typed_stands_in_no_answer(app: Flask) -> None:
    assert "typed by mistake" not in app.test_client().post("/log-in", data={"password": "typed by mistake"}).text


def test_a_trusted_phone_stays_180_days_any_other_till_its_browser_closes(store: Store, app: Flask) -> None:
    phone, other = logged_in(app, "", OWNERS, trusted=True), logged_in(app, "", OWNERS)
    kept, passing = phone.get_cookie(COOKIE), other.get_cookie(COOKIE)
    assert kept is not None
    assert passing is not None
    assert (kept.max_age, passing.max_age) == (180 * 86_400, None)
    for days, open_to_phone, open_to_other in (
        (0.4, True, True),
        (0.6, True, False),
        (179, True, False),
        (181, False, False),
    ):
        later = site(store, now=NOW + timedelta(days=days))
        for cookie, is_open in ((kept, open_to_phone), (passing, open_to_other)):
            browser = later.test_client()
            browser.set_cookie(COOKIE, cookie.value)
            assert (browser.get("/collection").status_code == 200) == is_open, days


def test_the_cookie_is_hidden_from_scripts_and_secure_by_the_proxy_alone(store: Store, app: Flask) -> None:
    plain = app.test_client().post("/log-in", data={"password": OWNERS}).headers["Set-Cookie"]
    assert "HttpOnly" in plain
    assert "SameSite=Lax" in plain
    assert "Secure" not in plain
    safe = site(store, BY_PROXY).test_client().post("/log-in", data={"password": OWNERS})
    assert all("Secure" in each for each in safe.headers.getlist("Set-Cookie"))


def test_only_hashes_are_kept_of_passwords_and_cookies(store: Store, app: Flask) -> None:
    cookie = the_owner(app).get_cookie(COOKIE)
    assert cookie is not None
    dump = "\n".join(store.reading().conn.iterdump())
    assert OWNERS.replace("'", "''") not in dump
    assert cookie.value not in dump
    assert "$argon2id$" in dump


def test_whoever_leaves_is_out_also_with_a_copy_of_the_cookie(app: Flask) -> None:
    browser = the_owner(app)
    cookie = browser.get_cookie(COOKIE)
    assert cookie is not None
    assert browser.post("/log-out").headers["Location"] == "/log-in"
    browser.set_cookie(COOKIE, cookie.value)
    assert browser.get("/settings").status_code == 303


@pytest.mark.parametrize("value", ["", "x" * 43, "\x00"])
def test_a_made_up_cookie_opens_nothing(app: Flask, value: str) -> None:
    browser = app.test_client()
    browser.set_cookie(COOKIE, value)
    assert browser.get("/settings").status_code == 303


def test_who_tries_too_often_waits_and_is_told_how_long(app: Flask) -> None:
    browser = app.test_client()
    far = {"REMOTE_ADDR": "192.168.1.66"}
    for _ in range(3):
        assert browser.post("/log-in", data={"password": "wrong"}, environ_base=far).status_code == 403
    answer = browser.post("/log-in", data={"password": OWNERS}, environ_base=far)
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "1")
    assert "The next is taken in 1 s." in answer.text
    assert browser.post("/log-in", data={"password": OWNERS}).status_code == 303
