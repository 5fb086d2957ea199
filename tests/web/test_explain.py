"""The page that explains one watch's reserve."""

import json
from html import unescape

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import HOUR, NOW, client, give, register
from tracker.commands.log import LogSighting
from tracker.figures import one
from tracker.store.store import Store
from tracker.web import explain, reservewords


@pytest.fixture
def browser(store: Store, monkeypatch: pytest.MonkeyPatch) -> FlaskClient:
    monkeypatch.setattr(explain, "PATIENCE_S", 60.0)
    return client(store)


def shown(browser: FlaskClient, uid: str, **parameters: str) -> str:
    return unescape(browser.get(f"/watch/{uid}/how", query_string=parameters).text)


def waiting(browser: FlaskClient, uid: str) -> int:
    """What the page hears that asks."""
    told = json.loads(browser.get(f"/watch/{uid}/how/weighed").text)
    return int(told["waiting"])


def test_the_watch_page_leads_to_it_and_it_says_the_same_reserve(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 50, 26, 2)
    assert f'href="/watch/{uid}/how"' in browser.get(f"/watch/{uid}").text
    known = reservewords.reserve_now(one(store, uid, NOW))
    assert f"<h1>{known.capitalize()} from full wind to stop, from 2 “at least”.</h1>" in shown(browser, uid)


def test_each_run_has_its_row_with_what_it_did(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 100, 2)
    give(store, LogSighting(watch_uid=uid, at=NOW - 60 * HOUR, zone="UTC", seen="stopped"))
    page = shown(browser, uid)
    assert "at most 40\u00a0h" in page
    assert "narrower" in page


def test_before_anything_is_seen_it_says_where_it_starts_and_what_is_not_known(
    store: Store, browser: FlaskClient
) -> None:
    page = shown(browser, register(store, "Night ferry"))
    assert "It starts from the maker's 40 h." in page
    assert "No run that tells anything has ended yet." in page
    assert "Nothing is known from this watch itself yet." in page


def test_newest_first_is_asked_for_by_the_address(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 50, 26, 2)
    assert "Newest first" in shown(browser, uid)
    page = shown(browser, uid, sort="date")
    assert "Most telling first" in page
    assert page.index("yesterday 05:25") < page.index("Mon 05:25")


def test_all_rows_are_a_link_away(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", *(24.0 * day + 2 for day in reversed(range(16))))
    assert "All 15 rows" in shown(browser, uid)
    assert "rows</a>" not in shown(browser, uid, runs="all")


def test_a_page_that_would_wait_says_so_and_asks_again(
    store: Store, browser: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    uid = register(store, "Night ferry", 50, 26, 2)
    monkeypatch.setattr(explain, "explained_soon", lambda *_: None)
    page = shown(browser, uid)
    assert "Its runs are being weighed one by one." in page
    assert f'data-asks="/watch/{uid}/how/weighed"' in page
    assert waiting(browser, uid) == 1


def test_what_is_weighed_is_no_longer_waited_for(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 50, 26, 2)
    shown(browser, uid)
    assert waiting(browser, uid) == 0


def test_a_watch_that_is_not_there_is_not_found(browser: FlaskClient) -> None:
    assert browser.get("/watch/nobody/how").status_code == 404
