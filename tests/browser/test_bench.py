"""A whole run-down test with a thumb: begun, looked at, its stop read, taken back."""

import re

from playwright.sync_api import Page, expect

from tests.web.rounds import HOUR, NOW, give, register
from tracker.commands.benchtest import StartTest
from tracker.commands.log import LogWind
from tracker.store.store import Store


def test_a_test_is_begun_on_the_page_of_a_watch_and_looked_at(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry")
    phone.goto(f"/watch/{uid}")
    phone.get_by_role("link", name="begin a run-down test").click()
    phone.get_by_label("Occasion").select_option("after service")
    phone.get_by_label("It lies or stands with").select_option("6H uppermost")
    phone.get_by_role("button", name="Wound: begin the test").click()
    expect(phone.get_by_role("status")).to_contain_text("Wound, and under test: Night ferry.")
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^One run-down going; next look at"))
    phone.get_by_role("button", name="Going").click()
    expect(phone.get_by_text("Seen going last today 07:25.")).to_be_visible()
    phone.wait_for_load_state()
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    for button in phone.get_by_role("region").get_by_role("button").all():
        size = button.bounding_box()
        assert size is None or (size["width"] >= 44 and size["height"] >= 44) or not button.is_visible()


def test_a_stop_read_off_the_hands_is_the_run_down(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry")
    wound = LogWind(watch_uid=uid, at=NOW - 47 * HOUR, zone="UTC", hands="set now")
    give(store, wound, StartTest(watch_uid=uid, wind_uid=wound.uid))
    phone.goto("/")
    phone.get_by_role("link", name="Bench").click()
    hands = phone.get_by_label("If it has stopped: what its hands show")
    hands.fill("99:99")
    phone.get_by_role("button", name="Stopped").last.click()
    expect(phone.get_by_text("“99:99” is not a time on a dial.")).to_be_visible()
    hands.fill("125")
    phone.get_by_role("button", name="Stopped").last.click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("No run-down test is going.")
    expect(phone.get_by_text("Its stop was read off its hands")).to_be_visible()
    phone.get_by_role("button", name="Undo").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^One run-down going"))
