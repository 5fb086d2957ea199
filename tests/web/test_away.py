import re

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import HOUR, NOW, client, give, register
from tracker.commands.absence import KeepAbsence
from tracker.commands.settings import ChangeSettings
from tracker.store.absences import absences
from tracker.store.store import Store
from tracker.uids import uid_of

ASKED = {"leave": "2026-11-27T10:00", "back": "2026-12-01T18:00"}


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/London"))
    register(store, "Night ferry", 3.0)
    return client(store)


def test_without_times_it_asks_for_them(browser: FlaskClient) -> None:
    page = browser.get("/away").text
    assert "What happens while you are gone?" in page
    assert 'value="2026-11-26T08:00"' in page


def test_an_absence_is_told(browser: FlaskClient) -> None:
    page = browser.get("/away", query_string=ASKED).text
    assert "Leave Fri 10:00, back Tue 18:00: one will stop." in page
    assert 'value="2026-12-01T18:00"' in page, "the form keeps what was asked"


def test_who_travels_along_is_left_out(browser: FlaskClient, store: Store) -> None:
    uid = register(store, "Bar buoy", 2.0)
    page = browser.get("/away", query_string={**ASKED, "with": uid}).text
    assert f'value="{uid}" checked' in page
    assert "one will stop." in page


def test_someone_who_comes_by_gets_a_sheet(browser: FlaskClient) -> None:
    page = browser.get("/away", query_string={**ASKED, "every": "1"}).text
    assert "Wound while you are away" in page
    assert "/away/sheet?" in page
    sheet = browser.get("/away/sheet", query_string={**ASKED, "every": "1"}).text
    assert "Night ferry" in sheet
    assert "do not pull any crown" in sheet


def test_a_sheet_without_visits_says_so(browser: FlaskClient) -> None:
    assert "There is nothing to wind" in browser.get("/away/sheet", query_string=ASKED).text


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"leave": "soon"}, "“soon” is not a time."),
        ({"leave": ""}, "is not a time."),
        ({"leave": "2026-11-20T10:00"}, "This time has passed."),
        ({"back": "2026-11-27T09:00"}, "You come back after you leave, within a year."),
        ({"back": "2036-11-27T09:00"}, "You come back after you leave, within a year."),
        ({"every": "0"}, "“0” is no number of days."),
        ({"every": "2", "at": "noon"}, "“noon” is not a time on the clock."),
    ],
)
def test_what_cannot_be_taken_is_told_at_its_field(browser: FlaskClient, wrong: dict[str, str], sentence: str) -> None:
    answer = browser.get("/away", query_string=ASKED | wrong)
    assert answer.status_code == 200
    assert sentence in answer.text
    assert "What happens while you are gone?" in answer.text


def test_everything_that_is_wrong_is_told_at_once(browser: FlaskClient) -> None:
    wrong = {"leave": "2026-11-20T10:00", "every": "x"}
    text = browser.get("/away", query_string=ASKED | wrong).text
    assert "This time has passed." in text
    assert "“x” is no number of days." in text


def test_nothing_is_changed_by_asking(browser: FlaskClient, store: Store) -> None:
    before = store.reading().execute("SELECT count(*) FROM command_log").fetchone()
    browser.get("/away", query_string=ASKED)
    assert store.reading().execute("SELECT count(*) FROM command_log").fetchone() == before


def test_an_absence_is_kept_with_a_button_and_dropped_with_one(browser: FlaskClient, store: Store) -> None:
    page = browser.get("/away", query_string=ASKED).text
    assert "Keep this absence" in page
    fields = dict(re.findall(r'name="(uid|leave|back)" value="([^"]+)"', page.partition('/away/keep"')[2]))
    said = browser.post("/away/keep", data=fields, follow_redirects=True).text
    assert "Kept. Reminders stand still while you are away; one message at your return." in said
    assert "Kept: you leave Fri 10:00, back Tue 18:00. Reminders stand still meanwhile." in said
    (absence,) = absences(store.reading())
    said = browser.post("/away/drop", data={"uid": uid_of("d"), "absence_uid": absence.uid}, follow_redirects=True).text
    assert "Dropped: you are not away then." in said
    assert absences(store.reading()) == []


def test_who_is_away_can_say_to_be_back(browser: FlaskClient, store: Store) -> None:
    give(store, KeepAbsence(leave=NOW - HOUR, back=NOW + 24 * HOUR))
    page = browser.get("/away").text
    assert "You are away, back tomorrow 07:25. Reminders stand still until then." in page
    assert "Welcome back." in browser.post("/away/back", follow_redirects=True).text
    assert "You are away" not in browser.get("/away").text
    assert browser.post("/away/back").status_code == 404


def test_an_absence_that_overlaps_is_refused(browser: FlaskClient, store: Store) -> None:
    give(store, KeepAbsence(leave=NOW - HOUR, back=NOW + 24 * HOUR))
    fields = {"uid": uid_of("k"), "leave": (NOW + HOUR).isoformat(), "back": (NOW + 48 * HOUR).isoformat()}
    answer = browser.post("/away/keep", data=fields)
    assert answer.status_code == 409
    assert "You are away then already." in answer.text
