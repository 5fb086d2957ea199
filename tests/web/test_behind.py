"""The table behind a picture, as the address asks for it."""

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import client, register
from tracker.plots.picture import Table
from tracker.store.store import Store
from tracker.web.behind import SHOWN_AT_FIRST, Head, behind

TABLE = Table(
    "The runs",
    ("Wound", "It went", ""),
    (("Wed", "30 h", ""), ("Tue", "41 h", ""), ("Mon", "26 h", "")),
    ("wound", "went"),
    ((3, 30), (2, 41), (1, 26)),
)


def days(order: str) -> list[str]:
    return [row[0] for row in behind(TABLE, {"order": order}).rows]


@pytest.mark.parametrize(
    ("order", "found"),
    [
        ("", "Wed Tue Mon"),
        ("wound", "Mon Tue Wed"),
        ("-wound", "Wed Tue Mon"),
        ("went", "Mon Wed Tue"),
        ("-went", "Tue Wed Mon"),
        ("colour", "Wed Tue Mon"),
    ],
)
def test_the_address_orders_the_rows(order: str, found: str) -> None:
    assert days(order) == found.split()


def test_a_head_asks_for_its_order_and_then_for_the_same_turned_round() -> None:
    assert behind(TABLE, {}).heads == [Head("Wound", "wound", ""), Head("It went", "went", ""), Head("", "", "")]
    assert behind(TABLE, {"order": "went"}).heads[1] == Head("It went", "-went", "ascending")
    assert behind(TABLE, {"order": "-went"}).heads[1] == Head("It went", "went", "descending")


def test_a_table_without_orders_keeps_its_own() -> None:
    plain = Table("The reserve", ("When",), (("now",), ("2024",)))
    assert behind(plain, {"order": "when"}).rows == [("now",), ("2024",)]


def test_a_long_table_is_cut_and_the_address_shows_all() -> None:
    rows = tuple((str(number),) for number in range(SHOWN_AT_FIRST + 5))
    long = Table("The runs", ("Wound",), rows)
    assert len(behind(long, {}).rows) == SHOWN_AT_FIRST
    assert behind(long, {}).count == len(behind(long, {"figures": "all"}).rows) == SHOWN_AT_FIRST + 5


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def test_the_page_opens_the_table_that_was_asked_for(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", *(24.0 * day + 1.0 for day in range(70, -1, -1)))
    assert '<details class="behind">' in browser.get(f"/watch/{uid}").text
    page = browser.get(f"/watch/{uid}?order=wound").text
    assert page.count('<details class="behind" open id="figures">') == 1
    assert f'href="/watch/{uid}?order=-wound#figures"' in page
    assert 'aria-sort="ascending"' in page
