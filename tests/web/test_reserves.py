"""Reserves over time, watch by watch."""

import json
import re
from dataclasses import replace

import pytest
from flask.testing import FlaskClient

from tests.plots.drawings import valid
from tests.web.rounds import LONDON, NOW, client, figures, register, seen, wound
from tracker.core.segment import YEAR
from tracker.core.timeline import Service
from tracker.figures import Figures
from tracker.store.store import Store
from tracker.web import reserves
from tracker.web.reserves import Wanted, wanted_of

MORNINGS = tuple(24.0 * day + 1.0 for day in range(200, -1, -1))


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def fallen(nickname: str, chance: float, years: float = 2.0, stops: int = 3) -> Figures:
    each = figures(nickname, Service(uid="s", at=NOW - years * YEAR, zone="UTC"), wound(80), wound(20), seen(2))
    return replace(each, estimate=replace(each.estimate, fall_probability=chance, evidence={"exact": stops}))


def order(*given: Figures, sort: str = "-lost") -> list[str]:
    return [each.watch.nickname for each in reserves.in_order(given, wanted_of({"sort": sort}))]


def test_the_likeliest_to_have_lost_come_first() -> None:
    assert order(fallen("A", 0.1), fallen("B", 0.9), fallen("C", 0.5)) == ["B", "C", "A"]


def test_those_of_which_it_is_too_soon_to_tell_come_last() -> None:
    assert order(fallen("A", 0.3, years=0.1), fallen("B", 0.01)) == ["B", "A"]


def test_turned_round_the_least_likely_come_first() -> None:
    assert order(fallen("A", 0.1), fallen("B", 0.9), sort="lost") == ["A", "B"]


def test_the_address_asks_for_another_order_and_a_page() -> None:
    assert order(fallen("B", 0.9), fallen("A", 0.1), sort="nickname") == ["A", "B"]
    assert order(fallen("B", 0.9), fallen("A", 0.1), sort="-nickname") == ["B", "A"]
    assert wanted_of({"sort": "-now", "page": "3"}) == Wanted(sort="now", down=True, page=3)


@pytest.mark.parametrize("page", ["0", "-1", "x", "²", "99999999999", ""])
def test_what_no_address_means_asks_for_nothing(page: str) -> None:
    assert wanted_of({"sort": "-value", "page": page}) == Wanted(sort="lost", down=True, page=1)


@pytest.mark.parametrize(
    ("chances", "said"),
    [
        ((), "Nothing has been seen of any reserve yet."),
        ((0.01,), "One watch: It has hardly lost 10 % yet: a chance of 1 %."),
        ((0.1, 0.2), "None of two watches has probably lost 10 % of its reserve."),
        ((0.1, 0.8), "One of two watches has probably lost 10 % of its reserve or more."),
        ((0.9, 0.8, 0.1), "Two of three watches have probably lost 10 % of their reserve or more."),
    ],
)
def test_the_first_line_says_how_many_have_lost(chances: tuple[float, ...], said: str) -> None:
    assert reserves.first_line([fallen(str(chance), chance) for chance in chances], 0.1) == said


def test_of_those_that_never_stopped_no_first_line_says_that_they_have_not_fallen() -> None:
    unseen = [fallen(name, 0.3, stops=0) for name in "AB"]
    assert reserves.first_line(unseen, 0.1) == "Too little has been seen of any to tell of a decline."
    assert reserves.first_line([fallen("C", 0.8), fallen("D", 0.1), *unseen], 0.1) == (
        "One of two watches has probably lost 10 % of its reserve or more; of two too little is seen yet."
    )


def test_what_too_little_is_seen_of_has_no_chance_and_comes_last() -> None:
    unseen = fallen("A", 0.34, stops=0)
    assert order(unseen, fallen("B", 0.01)) == ["B", "A"]
    (row,) = reserves.rows([unseen], NOW - 3 * YEAR, 0.1, NOW, LONDON)
    assert (row.lost, row.said) == ("", "Too few stops were seen to tell of a decline.")


def test_the_axis_begins_with_the_oldest_and_reaches_back_ten_years_at_most() -> None:
    assert reserves.earliest([fallen("A", 0.1), fallen("B", 0.1, years=3.0)], NOW) == NOW - 3 * YEAR
    assert reserves.earliest([fallen("A", 0.1, years=30.0)], NOW) == NOW - 10 * YEAR


def test_a_row_says_then_and_now_as_the_picture_draws_them() -> None:
    (row,) = reserves.rows([fallen("A", 0.3)], NOW - 3 * YEAR, 0.1, NOW, LONDON)
    assert (row.then, row.now, row.lost) == ("36 to 44 h", "36 to 44 h", "30 %")
    assert row.said == "It may have lost 10 % or more: a chance of 30 %."


def test_the_page_draws_each_watch_and_names_those_unseen(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", *MORNINGS)
    register(store, "Almanac")
    page = browser.get("/collection/reserves").text
    (figure,) = re.findall(r'<script type="application/json">(.+?)</script>', page, re.DOTALL)
    valid(json.loads(figure))
    assert page.count(f'href="/watch/{uid}">Night ferry') == 2
    assert re.search(r"Nothing seen yet of: <a[^>]+>Almanac</a>", page)
    assert "plotly-" in page


def test_an_empty_collection_has_a_sentence_and_no_script(browser: FlaskClient) -> None:
    page = browser.get("/collection/reserves").text
    assert "Nothing has been seen of any reserve yet." in page
    assert "plotly" not in page


def test_many_watches_come_page_by_page(store: Store, browser: FlaskClient) -> None:
    for number in range(reserves.A_PAGE + 2):
        register(store, f"tray {number}", 50.0, 26.0, 2.0)
    first, second = (browser.get(f"/collection/reserves?page={page}").text for page in (1, 2))
    assert first.count("data-still") == reserves.A_PAGE
    assert second.count("data-still") == 2
    assert "Page 2 of 2." in second
    assert "page=2" in first


def test_the_collection_leads_there(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 2.0)
    assert 'href="/collection/reserves"' in browser.get("/collection").text


def test_the_navigation_says_that_it_belongs_to_the_collection(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 2.0)
    for path in ("/collection/reserves", f"/watch/{uid}"):
        assert '<a href="/collection" aria-current="true">' in browser.get(path).text


def test_without_scripts_the_page_says_where_the_figures_are(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", *MORNINGS)
    assert '<noscript><p class="sub">The pictures are drawn by a script' in browser.get("/collection/reserves").text
