"""The first steps: shown while something is open, gone once done or put away, and brought back."""

import re

import pytest
from flask.testing import FlaskClient

from tests.web.household import AT_HOME, helper, household, site, the_owner
from tests.web.rounds import NOW, client, give, register
from tracker import feed
from tracker.collection import owner, preferences
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.firststeps import ALL

OPEN = re.compile(r'<button class="quiet" name="settle" value="(\w+)" aria-label')


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def settle(browser: FlaskClient, word: str) -> int:
    return browser.post("/first-steps", data={"uid": uid_of("settle", word), "settle": word}).status_code


def test_the_first_page_of_an_empty_collection_asks_for_a_watch_in_a_few_fields(
    store: Store, browser: FlaskClient
) -> None:
    text = browser.get("/").text
    assert "<h1>No watch is registered yet.</h1>" in text
    form = text[text.index('action="/collection/register"') :]
    assert set(re.findall(r'name="(\w+)"', form[: form.index("</form>")])) == {
        "csrf_token", "uid", "nicknames", "stated_reserve_h", "habit", "just_wound",
    }  # fmt: skip
    assert ("going import watches.csv --kind watches" in text, "going demo" in text) == (True, True)
    assert OPEN.findall(text) == ["rounds", "reminders", "phone", "backup"]
    sent = {"uid": uid_of("first"), "nicknames": "Night ferry", "stated_reserve_h": "42", "habit": "keep going"}
    assert browser.post("/collection/register", data={**sent, "just_wound": "yes"}).status_code == 303
    text = browser.get("/").text
    assert "No watch is registered yet." not in text
    assert "First steps: four of five still open." in text
    assert store.reading().execute("SELECT count(*) FROM winding").fetchone() == (1,)


def test_each_step_is_done_by_what_it_asks_for_and_then_the_steps_are_gone(store: Store) -> None:
    household(store)
    register(store, "Night ferry", 2)
    app = site(store, AT_HOME)
    browser = the_owner(app)
    assert "Phones are answered; their address is not said under Settings yet." in browser.get("/first-steps").text
    given = preferences(store).values.model_dump() | {
        "rounds_on_weekdays": ("06:45",),
        "base_address": "http://192.168.1.20:8321",
        "backup_folder": str(store.path.parent / "stick"),
    }
    give(store, ChangeSettings(**given))
    assert OPEN.findall(browser.get("/first-steps").text) == ["reminders"]
    assert "First steps: one of five still open." in browser.get("/").text
    feed.renew_key(store.path.parent)
    text = browser.get("/first-steps").text
    assert ("<h1>The first steps are done.</h1>" in text, "By: your calendar." in text) == (True, True)
    assert "First steps" not in browser.get("/").text


def test_a_step_can_be_left_as_it_is_and_that_be_undone(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 2)
    assert settle(browser, "rounds") == 303
    assert OPEN.findall(browser.get("/first-steps").text) == ["reminders", "phone", "backup"]
    browser.post("/log/undo")
    assert OPEN.findall(browser.get("/first-steps").text)[0] == "rounds"


def test_put_away_they_are_gone_also_from_an_empty_page_and_can_be_asked_for_again(
    store: Store, browser: FlaskClient
) -> None:
    assert settle(browser, "all") == 303
    assert preferences(store).values.first_steps_settled == ALL
    text = browser.get("/").text
    assert ("Name your watches" in text, "Register the first watches" in text) == (False, True)
    register(store, "Night ferry", 2)
    assert "First steps:" not in browser.get("/").text
    assert 'href="/first-steps"' in browser.get("/settings").text
    assert 'value="none"' in browser.get("/first-steps").text
    settle(browser, "none")
    assert "First steps: four of five still open." in browser.get("/").text


def test_saving_the_settings_keeps_what_was_left_so(browser: FlaskClient) -> None:
    settle(browser, "phone")
    text = browser.get("/settings").text
    assert 'name="first_steps_settled" value="phone"' in text


def test_a_step_that_is_none_is_refused(store: Store, browser: FlaskClient) -> None:
    assert settle(browser, "nonsense") == 422
    assert preferences(store).values.first_steps_settled == ()


def test_neither_a_helper_nor_the_example_is_led(store: Store, browser: FlaskClient) -> None:
    household(store)
    grete = helper(site(store))
    assert "Name your watches" not in grete.get("/").text
    assert grete.get("/first-steps").status_code == 403
    assert "Name your watches" in browser.get("/").text


def test_the_example_shows_none(store: Store, browser: FlaskClient) -> None:
    submit(store, [RegisterWatch(nickname="Anna")], owner(store, "example", NOW))
    assert "First steps:" not in browser.get("/").text
