"""Our own pages for what goes wrong."""

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import client
from tracker.store.store import Store
from tracker.web import problems


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def test_an_address_that_leads_nowhere_gets_our_page(browser: FlaskClient) -> None:
    answer = browser.get("/nowhere")
    assert answer.status_code == 404
    assert "<h1>There is no such page.</h1>" in answer.text
    assert 'href="/"' in answer.text


def test_a_page_that_only_takes_forms_says_so(browser: FlaskClient) -> None:
    answer = browser.get("/log/tap")
    assert answer.status_code == 405
    assert "be used that way." in answer.text


def test_too_much_at_once_is_refused_by_our_page(browser: FlaskClient) -> None:
    answer = browser.post("/collection/register", data={"nicknames": "x" * 3_000_000})
    assert answer.status_code == 413
    assert "That is too much to take in one go." in answer.text


def test_a_fault_of_ours_gets_our_page_and_its_trace_the_log(
    browser: FlaskClient, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("tracker.web.collection.survey", fail)
    answer = browser.get("/collection")
    assert answer.status_code == 500
    assert f"<h1>{problems.SENTENCES[500]}</h1>" in answer.text
    assert "ZeroDivisionError" not in answer.text
    assert caplog.records[0].exc_info is not None


def test_what_is_typed_is_never_taken_for_markup(browser: FlaskClient) -> None:
    form = {"uid": "a page", "nicknames": "<b>Night</b> ferry"}
    browser.post("/collection/register", data=form)
    page = browser.get("/collection").text
    assert "<b>Night" not in page
    assert "&lt;b&gt;Night&lt;/b&gt; ferry" in page
