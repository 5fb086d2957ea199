"""Six positions read at the bench, entered on a phone."""

from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.web.rounds import register
from tracker.core.timing import POSITIONS
from tracker.store.readings import readings
from tracker.store.store import Store

RATES = ("4,2", "5", "-1.5", "-3", "2", "0,5")
AMPLITUDES = ("291", "288", "262", "258", "264", "260")
LEAST_THUMB_PX = 40


def enter(phone: Page, minutes: str) -> None:
    phone.get_by_label("Minutes since it was fully wound").fill(minutes)
    for position, rate, amplitude in zip(POSITIONS, RATES, AMPLITUDES, strict=True):
        phone.get_by_label(f"Rate, seconds a day, {position}", exact=True).fill(rate)
        phone.get_by_label(f"Amplitude, degrees, {position}", exact=True).fill(amplitude)
    phone.get_by_role("button", name="Save").click()


def test_six_positions_are_entered_at_once_and_summed(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry")
    phone.goto(f"/watch/{uid}")
    phone.get_by_role("link", name="Readings").click()
    phone.get_by_label("When it is read").select_option("after a service")
    enter(phone, "30")
    expect(phone.get_by_role("status")).to_contain_text("6 readings noted.")
    expect(phone.get_by_role("heading", level=1)).to_contain_text("290° at full wind")
    told = {each.position: each.rate_s_per_day for each in readings(store.reading(), [uid])[uid]}
    assert told == {"CH": 4.2, "CB": 5.0, "3H": -1.5, "6H": -3.0, "9H": 2.0, "12H": 0.5}
    phone.get_by_role("button", name="Undo").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Nothing of Night ferry has been read yet.")


def test_what_can_not_be_comes_back_beside_its_field_with_the_rest_kept(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry")
    phone.goto(f"/watch/{uid}/readings")
    phone.get_by_label("Amplitude, degrees, CB", exact=True).fill("480")
    enter_rate = phone.get_by_label("Rate, seconds a day, CH", exact=True)
    enter_rate.fill("4,2")
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_text("480 is too large. Give 360 or less.")).to_be_visible()
    expect(enter_rate).to_have_value("4,2")
    assert readings(store.reading(), [uid]) == {}


def test_fields_fit_a_phone_and_a_thumb(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry")
    phone.goto(f"/watch/{uid}/readings")
    enter(phone, "1440")
    phone.goto(f"/watch/{uid}/readings")
    phone.wait_for_load_state()
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    box = phone.get_by_label("Rate, seconds a day, 12H", exact=True).bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= LEAST_THUMB_PX
