"""Services with their parts: noted in the form, corrected, and read in the book."""

from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import NOW, client, give, register
from tracker.commands.log import LogService, VoidEntry
from tracker.core.barrel.line import Strip
from tracker.core.part import Part
from tracker.store import services
from tracker.store.store import Store
from tracker.web import bookview, partfields
from tracker.web.bookview import first_line, part_said, rows, wanted

UID = "01936f4e-5c00-7000-8000-000000000000"
OTHER = UID.replace("0000", "0001", 1)
UTC_ZONE = ZoneInfo("UTC")
OLD = Strip(height_mm=1.3, thickness_mm=0.115, length_mm=350.0)
NEW = replace(OLD, thickness_mm=0.11, drum_diameter_mm=11.0)
PARTS = {
    "part_what-1": "mainspring", "part_before-1": "1,3 x 0,115 x 350", "part_after-1": "1.30 × 0.110 × 350 × 11",
    "part_what-3": "crown gasket",
}  # fmt: skip


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


@pytest.fixture
def uid(store: Store) -> str:
    return register(store, "Night ferry", 2)


def note(browser: FlaskClient, uid: str, **fields: str) -> TestResponse:
    return browser.post(f"/watch/{uid}/log?kind=service", data={"uid": UID, "when": "now", **fields})


def held(store: Store) -> list[bookview.Row]:
    return services.services(store.reading())


def test_a_service_is_noted_with_parts_springs_and_lubricants(store: Store, browser: FlaskClient, uid: str) -> None:
    said = {
        "occasion": "ran short",
        "work_done": "cleaned",
        "lubricants": "thin oil",
        "cost": "much",
        "done_by": "Aunt",
    }
    assert note(browser, uid, **said, **PARTS).status_code == 303
    (row,) = held(store)
    assert {name: row[name] for name in said} == said
    assert row["parts"] == [Part("mainspring", OLD, NEW), Part("crown gasket")]
    page = browser.get(f"/watch/{uid}").text
    assert "mainspring: 1.3 × 0.115 × 350 mm before, 1.3 × 0.11 × 350 × 11 mm now" in page
    assert "thin oil" in page


def test_a_correction_opens_with_all_of_it_and_replaces_all_of_it(store: Store, browser: FlaskClient, uid: str) -> None:
    note(browser, uid, occasion="ran short", **PARTS)
    page = browser.get(f"/watch/{uid}/log?entry={UID}").text
    for typed in ("ran short", "mainspring", "1.3 × 0.115 × 350", "1.3 × 0.11 × 350 × 11", "crown gasket"):
        assert f'value="{typed}"' in page
    fields = {"uid": OTHER, "when": "as noted", "occasion": "ran short", "part_what-1": "crown"}
    assert browser.post(f"/watch/{uid}/log?entry={UID}", data=fields).status_code == 303
    (row,) = held(store)
    assert (row["replaces"], row["parts"]) == (UID, [Part("crown")])
    browser.post("/log/undo")
    assert [part.what for part in held(store)[0]["parts"]] == ["mainspring", "crown gasket"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"part_what-2": "spring", "part_after-2": "1.3 × thin × 350"}, "Part 2: “1.3 × thin × 350” is not a spring."),
        ({"part_after-1": "1.3 × 0.1 × 350"}, "Part 1 has no name."),
        ({"part_what-1": "spring", "part_before-1": "0,1 × 1,3 × 350"}, "is thicker than high"),
    ],
)
def test_a_part_that_cannot_be_brings_the_form_back_as_typed(
    store: Store, browser: FlaskClient, uid: str, *, typed: dict[str, str], said: str
) -> None:
    answer = note(browser, uid, occasion="ran short", **typed)
    assert answer.status_code == 422
    assert answer.text.count(said) == 1
    for value in (*typed.values(), "ran short"):
        assert f'value="{value}"' in answer.text
    assert held(store) == []


def test_rows_grow_with_what_is_filled_in() -> None:
    assert partfields.rows({}) == [1, 2, 3]
    assert partfields.rows({"part_what-4": "x"}) == [1, 2, 3, 4, 5, 6]
    assert len(partfields.rows({"part_what-40": "x"})) == 40


def service(store: Store, watch: str, days_ago: int, **fields: object) -> str:
    command = LogService.model_validate(
        {"watch_uid": watch, "at": NOW - timedelta(days=days_ago), "zone": "UTC", **fields}
    )
    give(store, command)
    return command.uid


@pytest.fixture
def three(store: Store, uid: str) -> list[bookview.Row]:
    spare = register(store, "almanac")
    service(store, uid, 900, occasion="Full service", done_by="Zeta", parts="crown")
    service(store, spare, 400, done_by="alpha", work_done="regulated")
    service(store, uid, 30, occasion="a look", parts="mainspring: > 1.3 × 0.1 × 350\ngasket")
    return held(store)


def order(found: list[bookview.Row], **asked: str) -> list[int]:
    return [round((NOW - row["at"]).days) for row in rows(found, wanted(asked))]


def test_the_book_is_sorted_and_filtered_by_its_address(three: list[bookview.Row], uid: str) -> None:
    assert order(three) == order(three, sort="nothing") == [30, 400, 900]
    assert order(three, sort="when") == [900, 400, 30]
    assert order(three, sort="watch") == [400, 30, 900]
    assert order(three, sort="occasion") == [30, 900, 400]
    assert order(three, sort="by") == [400, 900, 30]
    assert order(three, sort="parts") == [30, 900, 400]
    assert order(three, watch=uid) == [30, 900]
    assert order(three, q="GASKET") == [30]
    assert {sort for sort, _ in bookview.headers()} == set(bookview.SORTS)
    assert wanted({"sort": "-when", "q": "x"}).address("when") == {"sort": "when", "q": "x"}


def test_the_first_line_tells_how_many_and_which_was_the_last(three: list[bookview.Row]) -> None:
    assert first_line([], NOW, UTC_ZONE) == "No service is noted yet."
    assert first_line(three[:1], NOW, UTC_ZONE) == "One service is noted: Night ferry, Mon 2026-10-26."
    assert first_line([three[0], three[2]], NOW, UTC_ZONE) == "Two services of Night ferry, the last Mon 2026-10-26."
    assert first_line(three, NOW, UTC_ZONE) == "Three services of two watches; the last: Night ferry, Mon 2026-10-26."


def test_the_page_shows_them_and_one_taken_out_no_more(
    store: Store, browser: FlaskClient, three: list[bookview.Row]
) -> None:
    page = browser.get("/services/book").text
    assert page.count("<tr>") == 4
    assert "mainspring: 1.3 × 0.1 × 350 mm now" in page
    give(store, VoidEntry(entry_uid=three[0]["uid"]))
    assert browser.get("/services/book").text.count("<tr>") == 3
    assert "None of them is like that." in browser.get("/services/book?q=nothing").text


def test_an_empty_book_says_where_to_begin(browser: FlaskClient) -> None:
    assert "No service is noted yet." in browser.get("/services/book").text


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (Part("gasket"), "gasket"),
        (Part("spring", None, OLD), "spring: 1.3 × 0.115 × 350 mm now"),
        (Part("spring", OLD), "spring: 1.3 × 0.115 × 350 mm before"),
        (Part("spring", OLD, OLD), "spring: 1.3 × 0.115 × 350 mm, as before"),
    ],
)
def test_a_part_is_said_with_what_changed(part: Part, said: str) -> None:
    assert part_said(part) == said
