"""The table of all watches below the ones in need."""

import pytest

from tests.web.declines import subject
from tests.web.rounds import LONDON, NOW
from tracker.web import servicetable

FOUND = [
    subject("Almanac", evidence="no stop", stops=0),
    subject("Bar buoy", lost=0.03, reached_in_days=2000, due_in_days=900, stops=50),
    subject("Fog signal", step="service advised", lost=0.24, reached_in_days=-150, stops=9),
    subject("Tray 2", step="keep an eye", lost=0.12, due_in_days=100),
    subject("Tray 10", keep=0.5, lost=0.06, reached_in_days=300),
]


def order(sort: str) -> list[str]:
    return [each.nickname for each in servicetable.rows(FOUND, servicetable.wanted({"sort": sort}))]


@pytest.mark.parametrize(
    ("sort", "nicknames"),
    [
        ("", ["Fog signal", "Tray 2", "Tray 10", "Bar buoy", "Almanac"]),
        ("no such order", ["Fog signal", "Tray 2", "Tray 10", "Bar buoy", "Almanac"]),
        ("nickname", ["Almanac", "Bar buoy", "Fog signal", "Tray 2", "Tray 10"]),
        ("-nickname", ["Tray 10", "Tray 2", "Fog signal", "Bar buoy", "Almanac"]),
        ("lost", ["Fog signal", "Tray 2", "Tray 10", "Bar buoy", "Almanac"]),
        ("reached", ["Fog signal", "Tray 10", "Bar buoy", "Almanac", "Tray 2"]),
        ("due", ["Fog signal", "Tray 2", "Tray 10", "Bar buoy", "Almanac"]),
        ("evidence", ["Bar buoy", "Fog signal", "Tray 2", "Tray 10", "Almanac"]),
    ],
)
def test_the_address_orders_the_rows(sort: str, nicknames: list[str]) -> None:
    assert order(sort) == nicknames


def test_a_link_turns_the_order_round_and_keeps_whose_words_it_speaks() -> None:
    asked = servicetable.wanted({"sort": "lost", "for": "bench"})
    assert asked.address("lost") == {"sort": "-lost", "for": "bench"}
    assert asked.address("due") == {"sort": "due", "for": "bench"}
    assert asked.spoken_to(bench=False) == {"sort": "lost"}
    assert servicetable.wanted({"sort": "-due"}).spoken_to(bench=True) == {"sort": "-due", "for": "bench"}
    assert servicetable.wanted({}).spoken_to(bench=False) == {}


def test_a_row_says_no_more_than_is_known() -> None:
    little, told = (servicetable.cells(each, NOW, LONDON) for each in (FOUND[0], FOUND[3]))
    assert (little.word, little.lost, little.reached, little.evidence) == (
        "not enough evidence yet",
        "",
        "",
        "41 “at least”",
    )
    assert (told.word, told.lost, told.years, told.due) == (
        "keep an eye on it",
        "about 12 % (7 to 17 %)",
        "2.5 years ago",
        "Mar 2027, by age",
    )


def test_every_column_has_its_order() -> None:
    assert {sort for sort, _ in servicetable.headers("10 %")} == set(servicetable.SORTS)
