from pathlib import Path

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import client, give, register
from tracker import feed
from tracker.commands.settings import ChangeSettings
from tracker.store.store import Store


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/London"))
    register(store, "Night ferry", 3.0)
    return client(store)


@pytest.fixture
def address(store: Store, browser: FlaskClient) -> str:
    browser.post("/calendar/renew")
    return f"/calendar/{feed.key_of(store.path.parent)}.ics"


def test_the_settings_page_makes_renews_and_closes_it(browser: FlaskClient, tmp_path: Path) -> None:
    assert "/calendar/" in browser.post("/calendar/renew", follow_redirects=True).text
    first = feed.key_of(tmp_path)
    assert first is not None
    assert first in browser.get("/settings").text
    browser.post("/calendar/renew")
    assert browser.get(f"/calendar/{first}.ics").status_code == 404
    browser.post("/calendar/close")
    assert feed.key_of(tmp_path) is None


def test_a_wrong_secret_finds_nothing(browser: FlaskClient, address: str) -> None:
    assert address
    assert browser.get("/calendar/0000.ics").status_code == 404


def test_the_feed_is_a_calendar_that_is_not_kept_on_the_way(browser: FlaskClient, address: str) -> None:
    answer = browser.get(address)
    assert answer.mimetype == "text/calendar"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "SUMMARY:Wind Night ferry" in answer.text


def test_who_has_it_already_is_told_so(browser: FlaskClient, address: str, store: Store) -> None:
    answer = browser.get(address)
    tag, since = answer.headers["ETag"], answer.headers["Last-Modified"]
    assert browser.get(address, headers={"If-None-Match": tag}).status_code == 304
    assert browser.get(address, headers={"If-Modified-Since": since}).status_code == 304
    register(store, "Almanac", 2.0)
    changed = browser.get(address, headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed.headers["Last-Modified"] != since


def test_every_change_raises_the_number_of_the_events(browser: FlaskClient, address: str, store: Store) -> None:
    def number() -> int:
        return int(browser.get(address).text.partition("SEQUENCE:")[2].partition("\r\n")[0])

    before = number()
    assert number() == before
    register(store, "Almanac", 2.0)
    assert number() > before
