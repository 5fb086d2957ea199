"""Plotly's script is served from the installed package, packed and kept; pages without pictures never name it."""

import gzip
import json
import re

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import NOW, client, register
from tracker.collection import owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.estimating import patience
from tracker.store.store import Store
from tracker.web import pictures
from tracker.web.app import create_app
from tracker.web.safety import CONTENT_POLICY, POLICY_WITH_PICTURES

MORNINGS = tuple(24.0 * day + 1.0 for day in range(20, -1, -1))


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


@pytest.fixture
def page(store: Store, browser: FlaskClient) -> str:
    return browser.get(f"/watch/{register(store, 'Night ferry', *MORNINGS)}").text


def address(page: str) -> str:
    found = re.search(r'data-plotly="([^"]+)"', page)
    assert found is not None
    return found[1]


def test_the_script_is_the_installed_one_under_the_name_of_its_content(browser: FlaskClient, page: str) -> None:
    answer = browser.get(address(page))
    assert (answer.status_code, answer.mimetype) == (200, "text/javascript")
    assert answer.data == pictures.bundle()
    assert pictures.digest() in address(page)
    assert b"plotly.js v" in answer.data[:100]


def test_it_is_packed_for_those_who_unpack_and_kept_for_ever(browser: FlaskClient, page: str) -> None:
    answer = browser.get(address(page), headers={"Accept-Encoding": "gzip, deflate, br"})
    assert answer.headers["Content-Encoding"] == "gzip"
    assert answer.headers["Vary"] == "Accept-Encoding"
    assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
    assert gzip.decompress(answer.data) == pictures.bundle()
    assert len(answer.data) < 0.35 * len(pictures.bundle())


def test_packing_can_be_refused(browser: FlaskClient, page: str) -> None:
    answer = browser.get(address(page), headers={"Accept-Encoding": "gzip;q=0"})
    assert "Content-Encoding" not in answer.headers


def test_another_content_is_not_found(browser: FlaskClient) -> None:
    assert browser.get("/pictures/plotly-000000000000.js").status_code == 404


def test_a_page_with_pictures_may_lay_an_empty_style_and_no_more(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", *MORNINGS)
    assert browser.get(f"/watch/{uid}").headers["Content-Security-Policy"] == POLICY_WITH_PICTURES
    for path in ("/", "/collection", "/settings", f"/watch/{uid}/edit"):
        answer = browser.get(path)
        assert answer.headers["Content-Security-Policy"] == CONTENT_POLICY
        assert "plotly" not in answer.text
    assert "unsafe" not in POLICY_WITH_PICTURES


def test_a_watch_with_nothing_to_draw_asks_for_no_script(store: Store, browser: FlaskClient) -> None:
    answer = browser.get(f"/watch/{register(store, 'Night ferry')}")
    assert "Nothing to draw yet: no run that tells anything has ended." in answer.text
    assert "plotly" not in answer.text


def test_a_page_that_waits_for_its_figures_may_draw_them_when_they_come(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    def later(*_: object) -> None:
        """A worker that is busy elsewhere."""

    monkeypatch.setattr(patience, "LONGEST_S", 0.0)
    watch = RegisterWatch(nickname="Night ferry")
    submit(store, [watch], owner(store, "page", NOW), then=later)
    browser = create_app(store, now=lambda: NOW, then=later).test_client()
    for path in (f"/watch/{watch.uid}", "/collection/reserves"):
        answer = browser.get(path)
        assert "Being worked out" in answer.text
        assert "plotly" not in answer.text
        assert answer.headers["Content-Security-Policy"] == POLICY_WITH_PICTURES


def test_words_and_tables_stand_on_the_page_and_the_figures_as_json(page: str) -> None:
    assert "Its log began Thu 2026-11-05: too soon to tell of a decline." in page
    assert "The chance that it is still going: " in page
    assert page.count("The figures behind this picture") == 2
    assert "the longest: at least 24 h" in page
    figures = re.findall(r'<script type="application/json">(.+?)</script>', page, re.DOTALL)
    assert [set(json.loads(each)) for each in figures] == [{"data", "layout"}] * 2


def test_the_script_stands_after_all_content(page: str) -> None:
    assert page.index("data-plotly") > page.index("In the register")
    assert "<script defer" in page
