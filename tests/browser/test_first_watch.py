"""From an empty collection to the first winding, counted; and the pages around it on a phone."""

import re

from playwright.sync_api import Locator, Page, expect

from tests.web.rounds import register
from tracker.store import log
from tracker.store import register as shelf
from tracker.store.store import Store

MOST_PAGES = 3
MOST_INPUTS = 10


class Thumb:
    """Does what a person does, and counts it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.inputs = 0
        self.addresses: list[str] = []

    def arrive(self) -> None:
        self.addresses.append(self.page.url)

    def fill(self, field: Locator, text: str) -> None:
        field.fill(text)
        self.inputs += 1

    def tap(self, target: Locator) -> None:
        target.click()
        self.inputs += 1


def to_the_register(phone: Page) -> Thumb:
    thumb = Thumb(phone)
    phone.goto("/")
    thumb.arrive()
    thumb.tap(phone.get_by_role("link", name="Register the first watches"))
    thumb.arrive()
    return thumb


def winds(store: Store) -> int:
    watches = shelf.watches(store.reading())
    return sum(len(log.entry_rows(store.reading(), watch.uid)) for watch in watches)


def test_first_watch_and_first_wind_take_three_pages_and_ten_inputs_at_most(phone: Page, store: Store) -> None:
    thumb = to_the_register(phone)
    thumb.fill(phone.get_by_label("Nicknames, one a line"), "Night ferry, going\nGrey dial")
    thumb.fill(phone.get_by_label("Reserve stated by the maker, hours"), "42")
    thumb.tap(phone.get_by_role("radio", name="Keep it going"))
    thumb.tap(phone.get_by_role("button", name="Save"))
    thumb.arrive()
    thumb.tap(phone.get_by_role("region", name="Night ferry").get_by_role("button", name="Wound – it was going"))
    expect(phone.get_by_role("status")).to_contain_text("Noted: Night ferry wound")
    assert winds(store) == 2
    assert len(thumb.addresses) <= MOST_PAGES
    assert thumb.inputs <= MOST_INPUTS


def test_a_watch_just_wound_is_told_on_the_page_that_registers_it(phone: Page, store: Store) -> None:
    thumb = to_the_register(phone)
    thumb.fill(phone.get_by_label("Nicknames, one a line"), "Night ferry")
    thumb.fill(phone.get_by_label("Reserve stated by the maker, hours"), "42")
    thumb.tap(phone.get_by_role("radio", name="Keep it going"))
    thumb.tap(phone.get_by_label("I have just wound it fully"))
    thumb.tap(phone.get_by_role("button", name="Save"))
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^Nothing to wind before"))
    assert winds(store) == 1
    assert (len(thumb.addresses), thumb.inputs) == (2, 6)


def test_a_wrong_figure_comes_back_beside_its_field_with_the_rest_kept(phone: Page, store: Store) -> None:
    to_the_register(phone)
    phone.get_by_label("Nicknames, one a line").fill("Night ferry\nGrey dial")
    phone.get_by_label("Reserve stated by the maker, hours").fill("soon")
    phone.get_by_role("radio", name="Keep it going").check()
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_text("“soon” is not a number. Give a number.")).to_be_visible()
    expect(phone.get_by_label("Nicknames, one a line")).to_have_value("Night ferry\nGrey dial")
    expect(phone.get_by_role("radio", name="Keep it going")).to_be_checked()
    assert shelf.watches(store.reading()) == []


def test_what_a_winder_must_give_is_asked_only_of_a_watch_with_a_rotor(phone: Page, store: Store) -> None:
    to_the_register(phone)
    phone.get_by_text("More about it").click()
    turns = phone.get_by_label("Turns of a winder a day that keep it going")
    expect(turns).to_be_hidden()
    phone.get_by_label("Nicknames, one a line").fill("Night ferry")
    phone.get_by_label("Wound by").select_option("the rotor alone")
    turns.fill("many")
    phone.get_by_label("Wound by").select_option("a key")
    expect(turns).to_be_hidden()
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_text("“many” is not a number. Give a number.")).to_be_visible()
    assert shelf.watches(store.reading()) == []


def test_a_correction_and_a_taking_out_by_thumb(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 30)
    phone.goto(f"/watch/{uid}")
    phone.get_by_role("link", name="Correct").click()
    phone.get_by_label("How far").select_option("in part")
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Not known: look at it; it was wound in part only.")
    phone.get_by_role("button", name="Take out").click()
    expect(phone.get_by_text("Nothing is noted yet.")).to_be_visible()
    phone.get_by_role("button", name="Undo").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Not known: look at it; it was wound in part only.")


def test_no_page_scrolls_sideways_on_a_phone(phone: Page, store: Store) -> None:
    uid = register(store, "W" * 60, *range(2, 400, 24))
    for nickname in ("Night ferry", "Grey dial", "Almanac"):
        register(store, nickname, 2)
    of_watch = [
        f"/watch/{uid}{path}" for path in ("", "/edit", "/log?kind=wind", "/log?kind=winder", "/log?kind=service")
    ]
    for path in [*of_watch, "/collection", "/collection/register", "/settings"]:
        phone.goto(path)
        phone.wait_for_load_state()
        assert phone.evaluate("document.documentElement.scrollWidth") <= 390, path
