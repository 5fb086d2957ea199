"""The Round page as served."""

import gzip
import re
from xml.etree import ElementTree as ET

from tests.web.rounds import HOUR, NOW, client, give, register
from tracker.commands.choice import ChooseRound
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.reminders.outbox import make_due
from tracker.store.store import Store


def page(store: Store) -> str:
    answer = client(store).get("/")
    assert answer.status_code == 200
    return answer.text


def test_an_empty_collection_invites_to_register(store: Store) -> None:
    text = page(store)
    assert "<h1>No watch is registered yet.</h1>" in text
    assert "Register the first watches" in text


def test_the_first_line_answers_what_to_wind(store: Store) -> None:
    register(store, "Night ferry", 31)
    register(store, "Chart room", 3)
    assert "<h1>One to wind this morning; nothing else before tomorrow 07:30.</h1>" in page(store)


def test_who_lasts_until_tomorrows_round_waits_for_it(store: Store) -> None:
    register(store, "Night ferry", 31)
    uid = register(store, "Chart room", 3)
    assert f"wound-going {uid}" not in page(store)
    give(store, ChangeSettings(rounds_on_weekdays=("07:30", "12:00")))
    assert "<h1>One to wind this morning; nothing else before tomorrow 07:30.</h1>" in page(store)


def test_a_row_leads_to_the_other_rounds_of_its_watch_if_it_has_any(store: Store) -> None:
    uid = register(store, "Night ferry", 31)
    assert f'href="/plan/{uid}">Wind it in another round</a>' in page(store)
    give(store, ChangeSettings(rounds_on_weekdays=(), rounds_at_weekends=()))
    assert "Wind it in another round" not in page(store)


def test_a_watch_moved_to_another_round_is_no_row_until_then(store: Store) -> None:
    uid = register(store, "Night ferry", 16)
    give(store, ChooseRound(watch_uid=uid, at=NOW + 24 * HOUR + HOUR / 12))
    assert f"wound-going {uid}" not in page(store)
    assert "<h1>Nothing to wind before tomorrow 07:30.</h1>" in page(store)


def test_the_likelier_button_comes_first(store: Store) -> None:
    early, late = register(store, "Early", 20), register(store, "Late", 46)
    text = page(store)
    for uid, first in ((early, "going"), (late, "stopped")):
        buttons = re.findall(rf'<button name="do" value="wound-(\w+) {uid}"( class="first")?', text)
        assert buttons[0] == (first, ' class="first"')
        assert buttons[1][1] == ""


def test_every_control_has_a_label(store: Store) -> None:
    register(store, "A", 31, dated=True)
    register(store, "B", 31)
    text = page(store)
    ids = set(re.findall(r'<(?:input|select)[^>]* id="([^"]+)"', text))
    assert ids <= set(re.findall(r'<label[^>]* for="([^"]+)"', text))
    assert not [tag for tag in re.findall(r"<input[^>]*>", text) if ' id="' not in tag and "hidden" not in tag]


def test_the_board_is_well_formed_and_each_watch_is_named_in_words(store: Store) -> None:
    register(store, "Salt & <tar>", 10)
    drawn = re.search(r'<div class="board">[\s\S]*?</div>\s*</div>', page(store))
    assert drawn is not None
    board = ET.fromstring(drawn[0])  # noqa: S314 -- our own page
    assert str(board.findtext(".//title")).startswith("Salt & <tar>: going; wind by ")


def test_the_page_needs_no_style_attribute_and_has_no_script_but_that_of_kept_taps(store: Store) -> None:
    register(store, "A", 31)
    text = page(store)
    assert " style=" not in text
    assert re.findall(r"<script[^>]*/([a-z]+\.js)", text) == ["kept.js"]
    assert text.count("<script") == 1


def test_the_table_tells_the_same_as_the_board(store: Store) -> None:
    register(store, "A", 10)
    text = page(store)
    assert "Going tomorrow at 07:30" in text
    assert re.search(r'<th scope="row">A</th><td>going</td><td>tomorrow \d\d:\d\d</td><td>[\w ]+ %</td>', text)


def test_fourteen_watches_weigh_little(store: Store) -> None:
    for number in range(14):
        register(store, f"Watch {number}", 20 + number)
    assert len(gzip.compress(page(store).encode())) < 20_000


def test_times_are_told_on_the_owner_s_clock(store: Store) -> None:
    give(store, ChangeSettings(zone="Asia/Kolkata"))
    register(store, "A", 1)
    assert "Wed 2026-11-25, 12:55" in page(store)


def test_a_last_call_stands_on_the_page_until_the_watch_is_wound(store: Store) -> None:
    uid = register(store, "Night ferry", 30)
    with store.change() as db:
        make_due(db, NOW + 8 * HOUR)
    assert "Last call: Night ferry by " in page(store)
    client(store).post("/log/tap", data={"do": f"wound-going {uid}", "key": "a page"})
    assert "Last call" not in page(store)


def test_a_customers_watch_alone_is_not_called_no_watch(store: Store) -> None:
    give(store, RegisterWatch(nickname="Regulator", job_number="W-7"))
    text = page(store)
    assert "<h1>No watch of yours is registered yet.</h1>" in text
    assert "/collection/customers" in text
