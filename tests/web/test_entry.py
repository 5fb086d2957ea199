"""From a tap on the page to the log, and back out of it."""

import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import HOUR, NOW, client, register
from tracker.store import log
from tracker.store.store import Store


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def tap(browser: FlaskClient, do: str, **fields: str) -> TestResponse:
    return browser.post("/log/tap", data={"do": do, "key": "a page", **fields})


def newest(store: Store, uid: str) -> dict[str, object]:
    return log.entry_rows(store.reading(), uid)[0]


def count(store: Store, *uids: str) -> int:
    return sum(len(log.entry_rows(store.reading(), uid)) for uid in uids)


def batch(browser: FlaskClient) -> str:
    found = re.search(r'name="batch" value="([^"]+)"', browser.get("/").text)
    return found[1] if found else ""


def test_one_tap_notes_a_winding_with_its_state(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30)
    answer = tap(browser, f"wound-going {uid}")
    assert (answer.status_code, answer.headers["Location"]) == (303, "/")
    row = newest(store, uid)
    assert (row["found"], row["hands"], row["amount"], row["origin"]) == ("going", "left", "full", "page")
    assert "Noted: Night ferry wound now, found going." in browser.get("/").text


def test_a_double_tap_is_one_winding_and_the_page_says_so(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30)
    tap(browser, f"wound-going {uid}")
    tap(browser, f"wound-going {uid}")
    assert count(store, uid) == 2
    assert "That had been noted already; nothing was added." in browser.get("/").text


def test_one_tap_notes_a_whole_sitting_and_one_undo_takes_it_back(store: Store, browser: FlaskClient) -> None:
    uids = [register(store, name, 30) for name in ("A", "B", "C")]
    browser.post("/log/tap", data={"do": "all wound-going", "key": "k", "in": uids[:2]})
    assert count(store, *uids) == 5
    answer = browser.post("/log/undo", data={"batch": batch(browser)})
    assert answer.status_code == 303
    assert count(store, *uids) == 3


def test_after_undo_the_change_before_it_is_named_and_can_be_taken_back_too(store: Store, browser: FlaskClient) -> None:
    tap(browser, f"wound-going {register(store, 'A', 30)}")
    browser.post("/log/undo", data={"batch": batch(browser)})
    page = browser.get("/").text
    assert "Undone." in page
    assert "Your newest change: a watch added and a winding (A), given today" in page
    browser.post("/log/undo", data={})
    assert "No watch is registered yet." in browser.get("/").text
    assert 'name="batch"' not in browser.get("/").text


def test_said_late_keeps_its_width(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "A", 30)
    tap(browser, f"wound-going {uid}", when="last night")
    row = newest(store, uid)
    assert (row["at_utc"], row["within_min"]) == ("2026-11-24T23:00:00Z", 180.0)


def test_about_takes_a_time_on_the_clock(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "A", 30)
    tap(browser, f"wound-going {uid}", when="about", clock="6.50")
    assert newest(store, uid)["at_utc"] == "2026-11-25T06:50:00Z"


@pytest.mark.parametrize(
    ("do", "field", "typed", "sentence"),
    [
        ("wound-stopped", "shown-{uid}", "99:99", "“99:99” is not a time on a dial."),
        ("wound-stopped", "shown-{uid}", "13:10", "A dial of 12 hours can&#39;t show 13:10."),
        ("wound-stopped", "date-{uid}", "x", "“x” is not a whole number."),
        ("wound-going", "clock", "7 or so", "“7 or so” is not a time on the clock."),
    ],
)
def test_wrong_input_comes_back_as_typed_with_one_sentence_by_its_field(  # noqa: PLR0917 -- fixtures and one case
    store: Store, browser: FlaskClient, do: str, field: str, typed: str, sentence: str
) -> None:
    uid = register(store, "A", 30, dated=True)
    name = field.format(uid=uid)
    fields = {name: typed} | ({"when": "about"} if name == "clock" else {})
    answer = tap(browser, f"{do} {uid}", **fields)
    assert answer.status_code == 422
    assert answer.text.count(sentence) == 1
    assert re.search(rf'id="{name}-problem">{re.escape(sentence)}', answer.text)
    assert re.search(rf'name="{name}" value="{typed}"', answer.text)
    assert count(store, uid) == 1


def test_a_sitting_with_one_wrong_field_notes_nothing(store: Store, browser: FlaskClient) -> None:
    uids = [register(store, name, 30) for name in ("A", "B")]
    fields = {"do": "all wound-stopped", "in": uids, f"shown-{uids[1]}": "99:99", "key": "k"}
    assert browser.post("/log/tap", data=fields).status_code == 422
    assert count(store, *uids) == 2


def test_unticked_stays_unticked_when_the_page_comes_back(store: Store, browser: FlaskClient) -> None:
    a, b = (register(store, name, 30) for name in ("A", "B"))
    page = browser.post("/log/tap", data={"do": "", "in": [a]}).text
    assert f'value="{a}" checked' in page
    assert f'value="{b}" checked' not in page


def test_enter_in_a_field_notes_nothing_and_says_so(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "A", 30)
    first = re.search(r'<button[^>]*name="do" value="([^"]*)"', browser.get("/").text)
    assert first is not None
    answer = tap(browser, first[1], **{f"shown-{uid}": "437"})
    assert answer.status_code == 422
    assert "It is not said what happened; nothing was noted." in answer.text
    assert count(store, uid) == 1


def test_what_the_watch_page_sent_wrongly_comes_back_there(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Coat", 5, kept=False)
    answer = tap(browser, f"wound-stopped {uid}", **{f"shown-{uid}": "99:99", "next": f"/watch/{uid}"})
    assert answer.status_code == 422
    assert "<title>Coat – Going Barrel</title>" in answer.text
    assert f'name="shown-{uid}" value="99:99"' in answer.text
    assert 'id="shown-problem">“99:99” is not a time on a dial.' in answer.text
    assert f'name="next" value="/watch/{uid}"' in answer.text
    assert count(store, uid) == 1


def test_enter_on_the_watch_page_notes_nothing_and_stays_there(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Coat", 5)
    answer = tap(browser, "", next=f"/watch/{uid}")
    assert answer.status_code == 422
    assert "<title>Coat – Going Barrel</title>" in answer.text
    assert "It is not said what happened; nothing was noted." in answer.text


def test_a_row_that_left_the_round_meanwhile_comes_back_with_what_was_typed(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Coat", 5, kept=False)
    answer = tap(browser, f"wound-stopped {uid}", **{f"shown-{uid}": "99:99"})
    assert f'id="shown-{uid}-problem"' in answer.text


def test_an_entry_can_be_taken_out_and_put_back(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "A", 30, 20)
    browser.post("/log/void", data={"entry_uid": newest(store, uid)["uid"], "next": f"/watch/{uid}"})
    assert count(store, uid) == 1
    browser.post("/log/undo", data={"batch": batch(browser)})
    assert count(store, uid) == 2


@pytest.mark.parametrize(("path", "status"), [("/log/undo", 404), ("/log/void", 422)])
def test_nothing_to_take_back_is_said(browser: FlaskClient, path: str, status: int) -> None:
    assert browser.post(path, data={}).status_code == status


def test_a_watch_that_is_gone_is_not_noted(browser: FlaskClient) -> None:
    assert tap(browser, "wound-going 01936f4e-5c00-7000-8000-000000000000").status_code == 404


def test_no_entry_lies_in_the_future(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "A", 30)
    tap(browser, f"wound-going {uid}", when="about", clock="23:10")
    assert newest(store, uid)["at_utc"] < f"{NOW - 8 * HOUR:%Y-%m-%dT%H:%M}"  # type: ignore[operator]  # a text
