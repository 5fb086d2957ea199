"""One field finds any watch of the collection, and says how many there are."""

from flask.testing import FlaskClient

from tests.web.household import helper, household, site
from tests.web.rounds import client, give
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.store.store import Store
from tracker.uids import uid_of


def _collection(store: Store) -> None:
    give(
        store,
        RegisterWatch(uid=uid_of("a"), nickname="Grey dial"),
        RegisterWatch(uid=uid_of("b"), nickname="Grey coat"),
    )
    give(store, RegisterWatch(uid=uid_of("c"), nickname="Regulator", job_number="W-118"))
    give(store, ArchiveWatch(watch_uid=uid_of("b"), version=1))


def _found(browser: FlaskClient, typed: str) -> str:
    page = browser.get("/collection", query_string={"q": typed}).text
    assert 'role="search"' in page
    return page[page.index('<p id="found">') :]


def test_watches_put_away_and_customers_are_found_and_named_as_such(store: Store) -> None:
    _collection(store)
    browser = client(store)
    page = _found(browser, "grey")
    assert "Two watches were found for “grey”." in page
    assert "Grey dial" in page
    assert 'Grey coat</a> <span class="sub">put away' in page
    assert "One watch was found for “w-118”." in _found(browser, "w-118")
    assert 'Regulator</a> <span class="sub">a customer’s' in _found(browser, "w-118")


def test_none_found_says_so_and_keeps_the_words(store: Store) -> None:
    _collection(store)
    page = client(store).get("/collection?q=<b>sundial").text
    assert "No watch was found for “&lt;b&gt;sundial”." in page
    assert 'value="&lt;b&gt;sundial"' in page


def test_a_helper_finds_none_that_only_owners_see(store: Store) -> None:
    _collection(store)
    household(store)
    browser = helper(site(store))
    assert "No watch was found" in _found(browser, "coat")
    assert "No watch was found" in _found(browser, "w-118")
    assert "One watch was found" in _found(browser, "dial")
