"""The Services page: which watch to open next, and why."""

import re
from html import unescape

import pytest
from flask.testing import FlaskClient

from tests.web.declines import DROPPED, FALLING, STEADY, declined
from tests.web.rounds import client, give, register
from tracker.commands.cue import AcknowledgeCue
from tracker.commands.settings import ChangeSettings
from tracker.store.store import Store


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/London"))
    return client(store)


def page(browser: FlaskClient, address: str = "/services") -> str:
    answer = browser.get(address)
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]*>", "", answer.text)))


def headed(browser: FlaskClient) -> str:
    found = re.search(r"<h1>(.*)</h1>", browser.get("/services").text)
    return unescape(found[1]) if found else ""


def sections(browser: FlaskClient) -> list[str]:
    return re.findall(r'<h2><a href="/watch/[^"]*">([^<]*)</a>', browser.get("/services").text)


def test_without_a_watch_it_leads_to_the_register(browser: FlaskClient) -> None:
    assert headed(browser) == "No watch yet, so none to open."
    assert "Register watches" in page(browser)


def test_a_watch_that_was_hardly_seen_has_not_enough_evidence(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 30, 6)
    assert headed(browser) == "None to open: there is not enough evidence yet."
    assert sections(browser) == []
    assert "not enough evidence yet" in page(browser)
    assert "Before anything is opened" in page(browser)


def test_a_decline_is_told_with_reason_evidence_band_and_pattern(store: Store, browser: FlaskClient) -> None:
    declined(store, "Workshop spare", FALLING)
    declined(store, "Bar buoy", STEADY)
    assert re.fullmatch(
        r"Workshop spare has lost about 1\d % since its service: keep an eye; a look at its turns would tell more\.",
        headed(browser),
    )
    assert sections(browser) == ["Workshop spare"]
    said = page(browser)
    assert re.search(r"has lost about 1\d % of its reserve since its service \(\d+ to \d+ %\)\.", said)
    assert "From 36 stops, since its service in Jun 2024, 2.5 years ago." in said
    assert "Chance that it has lost 10 % or more: over 99 %" in said
    assert "A loss of 10 % was reached about" in said
    assert "It fell little by little, by about" in said
    assert "Less reserve alone is seldom a reason to open a watch." in said
    assert "let the power down before opening" in said
    assert "radium" in said


def test_the_largest_loss_is_first_and_its_day_is_told(store: Store, browser: FlaskClient) -> None:
    declined(store, "Workshop spare", FALLING)
    declined(store, "Fog signal", DROPPED)
    assert sections(browser) == ["Fog signal", "Workshop spare"]
    assert headed(browser).startswith("Fog signal has lost about 2")
    assert "service advised" in headed(browser)
    assert "It fell at once, between" in page(browser)


def test_an_owner_is_told_what_to_ask_and_the_bench_what_to_look_at(store: Store, browser: FlaskClient) -> None:
    declined(store, "Workshop spare", FALLING)
    assert "For you and your watchmaker: Worth noting: the crown's turns" in page(browser)
    bench = page(browser, "/services?for=bench")
    assert "Next on the bench: Turns left at the stop." in bench
    assert "Ask a watchmaker" not in bench


def test_i_know_moves_it_down_until_it_asks_again(store: Store, browser: FlaskClient) -> None:
    uid = declined(store, "Fog signal", DROPPED)
    declined(store, "Workshop spare", FALLING)
    answer = browser.post(f"/services/{uid}/known", data={"uid": "01936f4e-5c00-7000-8000-000000000000"})
    assert answer.status_code == 303
    said = page(browser)
    assert "Fog signal asks again 2027-02-25." in said
    assert "You know; it asks again 2027-02-25." in said
    assert sections(browser) == ["Workshop spare", "Fog signal"]
    known = page(browser, f"/watch/{uid}")
    assert "Its reserve: you know; asks again 2027-02-25" in known
    assert "wants attention" not in known
    assert browser.get("/services").text.count("I know; ask again in 3 months") == 1
    browser.post("/log/undo")
    assert sections(browser) == ["Fog signal", "Workshop spare"]


def test_known_cues_alone_are_nothing_new(store: Store, browser: FlaskClient) -> None:
    uid = declined(store, "Fog signal", DROPPED)
    give(store, AcknowledgeCue(watch_uid=uid, months=1))
    assert headed(browser) == "Nothing new: Fog signal is known to you and asks again Fri 2026-12-25."


def test_knowing_of_nothing_is_answered_in_a_sentence(store: Store, browser: FlaskClient) -> None:
    uid = declined(store, "Bar buoy", STEADY)
    answer = browser.post(f"/services/{uid}/known", data={"uid": "01936f4e-5c00-7000-8000-000000000000"})
    assert answer.status_code == 404
    assert "Bar buoy has no cue, or no longer." in unescape(answer.text)
    assert browser.post("/services/nobody/known", data={}).status_code in {404, 422}


def test_age_alone_is_due_by_the_owners_rule_and_told_apart(store: Store, browser: FlaskClient) -> None:
    declined(store, "Bar buoy", STEADY)
    give(store, ChangeSettings(zone="Europe/London", service_interval_years=2))
    assert headed(browser) == "None shows a decline; Bar buoy is due by your rule (Jun 2026)."
    assert "its service has been due since Jun 2026; that is its age, not its reserve." in page(browser)


def test_a_rule_not_yet_reached_is_told_with_its_month(store: Store, browser: FlaskClient) -> None:
    declined(store, "Workshop spare", FALLING)
    give(store, ChangeSettings(zone="Europe/London", service_interval_years=5))
    assert "By your rule of 5 years its next service is due in Jun 2029." in page(browser)
    assert "Next due" in page(browser)


def test_the_owners_least_reserve_has_its_own_forecast(store: Store, browser: FlaskClient) -> None:
    declined(store, "Workshop spare", FALLING, least_reserve_h=33)
    assert "Less than the 33 h you want is to be expected about" in page(browser)


def test_another_threshold_speaks_of_its_own_share(store: Store, browser: FlaskClient) -> None:
    declined(store, "Workshop spare", FALLING)
    give(store, ChangeSettings(zone="Europe/London", fall_percent=7))
    assert "Chance that it has lost 7 % or more" in page(browser)
    assert "“Keep an eye” is said from a loss of 7 % on, “service advised” from 14 %" in page(browser)


def test_a_customers_watch_is_there_with_whose_it_is(store: Store, browser: FlaskClient) -> None:
    declined(store, "Tray four", FALLING, belongs_to="The pilot", job_number="17")
    assert "The pilot, 17" in page(browser)


def test_many_watches_are_all_in_the_table(browser: FlaskClient) -> None:
    browser.post(
        "/collection/register",
        data={"uid": "a page", "habit": "when worn", "nicknames": "\n".join(f"Drawer {n}" for n in range(30))},
    )
    assert browser.get("/services?sort=nickname").text.count("<tr>") == 31


def test_every_page_leads_here(browser: FlaskClient) -> None:
    for address in ("/", "/collection", "/settings", "/services"):
        assert 'href="/services"' in browser.get(address).text


def test_a_watch_with_a_cue_leads_here(store: Store, browser: FlaskClient) -> None:
    fallen, steady = declined(store, "Workshop spare", FALLING), declined(store, "Bar buoy", STEADY)
    assert "Its reserve wants attention: keep an eye on it" in page(browser, f"/watch/{fallen}")
    assert "Its reserve wants attention" not in page(browser, f"/watch/{steady}")
