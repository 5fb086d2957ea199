"""An absence planned with a thumb: asked, kept, dropped."""

from playwright.sync_api import Page, expect

from tests.web.rounds import give, register
from tracker.commands.settings import ChangeSettings
from tracker.store.absences import absences
from tracker.store.store import Store


def test_what_happens_while_away_is_told_kept_and_dropped_again(phone: Page, store: Store) -> None:
    give(store, ChangeSettings(zone="Europe/London"))
    register(store, "Night ferry", 3)
    register(store, "Bar buoy", 2)
    phone.goto("/")
    phone.get_by_role("link", name="While away").click()
    phone.get_by_label("You leave").fill("2026-11-27T10:00")
    phone.get_by_label("You are back").fill("2026-12-01T18:00")
    phone.get_by_text("Which travel along?").click()
    phone.get_by_label("Bar buoy").check()
    phone.get_by_text("Does someone come by to wind?").click()
    phone.get_by_label("Every so many days").fill("often")
    phone.get_by_role("button", name="Show what happens").click()
    expect(phone.get_by_text("“often” is no number of days.")).to_be_visible()
    phone.get_by_label("Every so many days").fill("")
    phone.get_by_role("button", name="Show what happens").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Leave Fri 10:00, back Tue 18:00: one will stop.")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    phone.get_by_role("button", name="Keep this absence").click()
    expect(phone.get_by_role("status")).to_contain_text("Kept.")
    assert len(absences(store.reading())) == 1
    phone.get_by_role("button", name="Drop it").click()
    expect(phone.get_by_role("button", name="Drop it")).to_have_count(0)
    assert absences(store.reading()) == []
