from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import NOW, client, give
from tracker.commands.register import RegisterWatch
from tracker.core.watch import Watch
from tracker.store.store import Store
from tracker.web import customerview
from tracker.web.customerview import Where, first_line, jobs, rows, wanted

UTC_ZONE = ZoneInfo("UTC")
UID = "01936f4e-5c00-7000-8000-000000000000"
SOON = Watch(uid="a", nickname="Regulator", job_number="W-2", promised_for=date(2026, 12, 10), belongs_to="A pilot")
LATE = Watch(uid="b", nickname="almanac", job_number="W-1", promised_for=date(2026, 11, 20), came_in=date(2026, 11, 1))
OPEN = Watch(uid="c", nickname="Tide", job_number="W-3")
OUT = replace(OPEN, uid="d", nickname="Gone", went_out=date(2026, 11, 24))
OWN = Watch(uid="e", nickname="Own")
ALL = [SOON, LATE, OPEN, OUT, OWN]


def names(found: list[Watch]) -> list[str]:
    return [each.nickname for each in found]


@pytest.mark.parametrize(
    ("where", "said"),
    [("in", ["almanac", "Regulator", "Tide"]), ("out", ["Gone"]), ("all", ["almanac", "Regulator", "Gone", "Tide"])],
)
def test_customers_watches_come_by_what_was_promised_first(where: Where, said: list[str]) -> None:
    assert names(jobs(ALL, where)) == said


def test_the_address_asks_for_an_order_a_place_and_a_text() -> None:
    assert names(rows(ALL, wanted({"sort": "-job"}))) == ["Tide", "Regulator", "almanac"]
    assert names(rows(ALL, wanted({"q": "PILOT", "where": "all"}))) == ["Regulator"]
    assert names(rows(ALL, wanted({"sort": "nothing", "where": "nowhere"}))) == names(jobs(ALL, "in"))
    assert wanted({"sort": "job", "where": "out"}).address("job") == {"sort": "-job", "where": "out"}
    assert {sort for sort, _ in customerview.headers()} == set(customerview.SORTS)


@pytest.mark.parametrize(
    ("found", "where", "said"),
    [
        ([], "in", "No customer’s watch is in."),
        ([SOON], "in", "One customer’s watch is in; Regulator is promised first, for 2026-12-10."),
        ([OPEN], "in", "One customer’s watch is in; none is promised for a day."),
        ([SOON, LATE], "in", "Two customers’ watches are in; one is past its day."),
        ([], "out", "No customer’s watch went out yet."),
        ([OUT], "out", "One customer’s watch went out."),
        ([OUT, replace(OUT, uid="f")], "out", "Two customers’ watches went out."),
        ([OUT, SOON], "all", "One customer’s watch is in; Regulator is promised first, for 2026-12-10."),
    ],
)
def test_the_first_line_tells_which_is_promised_first(found: list[Watch], where: Where, said: str) -> None:
    assert first_line(found, where, NOW, UTC_ZONE) == said


def test_one_is_past_its_day_from_the_next_on_and_no_more_once_it_went_out() -> None:
    today = replace(SOON, promised_for=NOW.date())
    assert not customerview.overdue(today, NOW, UTC_ZONE)
    assert customerview.overdue(LATE, NOW, UTC_ZONE)
    assert not customerview.overdue(replace(LATE, went_out=NOW.date()), NOW, UTC_ZONE)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, RegisterWatch(uid=UID, nickname="Regulator", job_number="W-2", promised_for=date(2026, 11, 20)))
    return client(store)


def test_a_button_hands_it_back_today_with_undo_beside_it(browser: FlaskClient) -> None:
    assert "It went out today" in browser.get(f"/watch/{UID}").text
    answer = browser.post(f"/watch/{UID}/hand-back", data={"uid": UID[:-1] + "1"}, follow_redirects=True)
    assert "Regulator went out." in answer.text
    assert "went out 2026-11-25" in answer.text
    assert "It went out today" not in answer.text
    browser.post("/log/undo")
    assert "It went out today" in browser.get(f"/watch/{UID}").text


def test_a_date_that_cannot_be_comes_back_as_it_was_typed(browser: FlaskClient) -> None:
    fields = {"uid": UID[:-1] + "2", "version": "1", "nickname": "Regulator", "habit": "when worn", "job_number": "W-2"}
    answer = browser.post(f"/watch/{UID}/edit", data=fields | {"promised_for": "next week"})
    assert answer.status_code == 422
    assert "“next week” is not a date. Give it as 2026-11-25." in answer.text
    assert 'name="promised_for" type="text" value="next week"' in answer.text


def test_a_list_of_none_says_how_one_gets_there(store: Store) -> None:
    said = client(store).get("/collection/customers").text
    assert "No customer’s watch is in." in said
    assert "A watch with a job number is a customer’s" in said
