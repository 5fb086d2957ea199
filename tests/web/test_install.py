"""Installing the pages: offered under https, and not where it could not work."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.web.household import BY_PROXY, household, site, the_owner
from tests.web.rounds import client, give, register
from tracker.commands.settings import ChangeSettings
from tracker.photofile import photograph
from tracker.store.store import Store
from tracker.web import statics

SECURE = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": "watches.example", "X-Forwarded-For": "192.0.2.7"}
PAGES = ("/going.webmanifest", "/worker.js", "/unreachable")


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    household(store)
    return the_owner(site(store, BY_PROXY))


def test_under_https_the_pages_name_a_manifest_and_a_worker(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 31)
    text = browser.get("/", headers=SECURE).text
    assert 'rel="manifest" href="/going.webmanifest"' in text
    assert 'data-worker="/worker.js"' in text


@pytest.mark.parametrize("path", PAGES)
def test_over_plain_http_nothing_is_offered(store: Store, browser: FlaskClient, path: str) -> None:
    for each in (browser, client(store)):
        assert each.get(path).status_code == 404
        text = each.get("/").text
        assert "manifest" not in text
        assert "data-worker" not in text


def test_the_manifest_names_icons_that_are_there_in_their_sizes(browser: FlaskClient) -> None:
    answer = browser.get("/going.webmanifest", headers=SECURE)
    told: dict[str, Any] = answer.get_json()
    assert answer.mimetype == "application/manifest+json"
    assert (told["start_url"], told["scope"], told["display"]) == ("/", "/", "standalone")
    for icon in told["icons"]:
        found = photograph(browser.get(icon["src"], headers=SECURE).data)
        assert found.media_type == icon["type"]
    assert {(icon["sizes"], icon["purpose"]) for icon in told["icons"]} == {
        ("192x192", "any"), ("512x512", "any"), ("512x512", "maskable"),
    }  # fmt: skip


def test_the_worker_names_the_version_and_keeps_files_that_are_there(browser: FlaskClient) -> None:
    script = browser.get("/worker.js", headers=SECURE)
    assert (script.mimetype, script.headers["Cache-Control"]) == ("text/javascript", "no-cache")
    assert f'"going-{statics.digest()}-' in script.text
    for path in re.findall(r'"(/[^"]+)"', script.text):
        assert browser.get(path, headers=SECURE).status_code == 200, path


def test_the_page_that_stands_in_tells_a_stranger_what_it_tells_the_owner(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 31)
    mine, anyones = (
        each.get("/unreachable", headers=SECURE).text for each in (browser, site(store, BY_PROXY).test_client())
    )
    assert mine == anyones
    assert "Night ferry" not in mine
    assert "csrf" not in mine


def test_the_worker_is_another_once_that_page_is(store: Store, browser: FlaskClient) -> None:
    before = browser.get("/worker.js", headers=SECURE).text
    assert browser.get("/worker.js", headers=SECURE).text == before
    give(store, ChangeSettings(clock="12 h"))
    assert browser.get("/worker.js", headers=SECURE).text != before
