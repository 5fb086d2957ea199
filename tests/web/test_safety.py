"""What keeps other people's pages out."""

import re

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import NOW, client
from tracker.store import register as shelf
from tracker.store.store import Store
from tracker.web.app import create_app
from tracker.web.safety import CONTENT_POLICY
from tracker.web.statics import digest

STYLE = f"/static/{digest()}/going.css"
PAGES = ("/", "/collection", "/collection/register", "/settings", "/nowhere", STYLE)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


@pytest.fixture
def guarded(store: Store) -> FlaskClient:
    return create_app(store, now=lambda: NOW).test_client()


@pytest.mark.parametrize("host", ["going.example", "192.168.1.20:8000", "127.0.0.1.going.example", "[::2]:8000"])
def test_another_name_than_this_machines_is_refused(browser: FlaskClient, host: str) -> None:
    assert browser.get("/collection", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost", "[::1]:8000", "[::1]"])
def test_this_machines_own_names_are_served(browser: FlaskClient, host: str) -> None:
    assert browser.get("/collection", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize("origin", ["https://going.example", "http://localhost:9", "null"])
def test_a_form_from_another_sites_page_changes_nothing(store: Store, browser: FlaskClient, origin: str) -> None:
    form = {"uid": "a page", "nicknames": "Night ferry"}
    answer = browser.post("/collection/register", data=form, headers={"Origin": origin})
    assert answer.status_code == 403
    assert "This was sent from another site's page; nothing was changed." in answer.text.replace("&#39;", "'")
    assert shelf.watches(store.reading()) == []


def test_a_form_from_our_own_page_is_taken(browser: FlaskClient) -> None:
    form = {"uid": "a page", "nicknames": "Night ferry"}
    answer = browser.post("/collection/register", data=form, headers={"Origin": "http://localhost"})
    assert answer.status_code == 303


def test_a_form_without_its_token_gets_our_page_and_changes_nothing(store: Store, guarded: FlaskClient) -> None:
    answer = guarded.post("/collection/register", data={"uid": "a page", "nicknames": "Night ferry"})
    assert answer.status_code == 400
    assert "nothing was changed. Open it again." in answer.text
    assert STYLE in answer.text
    assert shelf.watches(store.reading()) == []


def test_every_form_of_ours_carries_its_token(store: Store, guarded: FlaskClient) -> None:
    page = guarded.get("/collection/register").text
    token = re.search(r'name="csrf_token" value="([^"]+)"', page)
    assert token is not None
    form = {"uid": "a page", "nicknames": "Night ferry, going", "csrf_token": token[1]}
    assert guarded.post("/collection/register", data=form).status_code == 303
    uid = shelf.watches(store.reading())[0].uid
    for path in ("/", "/settings", f"/watch/{uid}", f"/watch/{uid}/edit", f"/watch/{uid}/log"):
        text = guarded.get(path).text
        assert text.count('method="post"') == text.count('name="csrf_token"')


@pytest.mark.parametrize("path", PAGES)
def test_every_answer_carries_the_policy(browser: FlaskClient, path: str) -> None:
    with browser.get(path) as answer:
        headers = answer.headers
    assert headers["Content-Security-Policy"] == CONTENT_POLICY
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"


def test_no_page_needs_what_the_policy_forbids(browser: FlaskClient) -> None:
    for path in PAGES[:-1]:
        text = browser.get(path).text
        assert " style=" not in text
        assert re.findall(r"<script(?![^>]* src=)| on[a-z]+=", text) == []
        assert "http://" not in text.replace("http://www.w3.org", "")


def test_pages_are_not_kept_by_anyone(browser: FlaskClient) -> None:
    assert browser.get("/collection").headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("wanted", ["//going.example/x", "https://going.example", "/\\going.example"])
def test_a_form_never_leads_to_another_site(browser: FlaskClient, wanted: str) -> None:
    form = {"uid": "a page", "nicknames": "Night ferry", "next": wanted}
    assert browser.post("/collection/register", data=form).headers["Location"] == "/collection"
