"""The way over the Barrel page: form, what if, fit, keep, on a phone, with and without JavaScript."""

from playwright.sync_api import Page, expect

from tests.core.barrel.drums import USUAL
from tests.web.rounds import register
from tracker.store import barrels
from tracker.store.store import Store

LIST = "name;height_mm;thickness_mm;length_mm\nDrawer 3;1,3;0,11;360\nDrawer 4;1,3;thin;350\n"


def test_from_the_form_over_what_if_and_fit_to_a_kept_spring(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 30, 6)
    phone.goto(f"/watch/{uid}")
    phone.get_by_role("link", name="Its barrel: what ought it to last?").click()
    expect(phone.locator("h1")).to_have_text("What ought Night ferry to last? Nothing is kept of its barrel yet.")
    for name, value in USUAL.items():
        phone.locator(f"#{name}").fill(str(value).replace(".", ","))
    phone.locator("#thickness_mm").fill("thin")
    phone.get_by_role("button", name="Reckon").click()
    expect(phone.locator("#thickness_mm-problem")).to_contain_text("“thin” is not a length.")
    phone.locator("#thickness_mm").fill("0,115")
    phone.get_by_role("button", name="Reckon").click()
    expect(phone.locator("h1")).to_have_text("8.2 turns, 53 h down to 3.0 N mm.")

    phone.locator("#better").fill("1,3")
    phone.get_by_role("button", name="Reckon").click()
    expect(phone.get_by_role("rowheader", name="A train better by a factor of 1.3")).to_be_visible()
    phone.get_by_role("button", name="Keep this as the barrel of Night ferry").click()
    expect(phone.get_by_role("status")).to_contain_text("The barrel of Night ferry is kept.")

    phone.locator("#springs").fill(LIST)
    phone.get_by_role("button", name="Rank these springs").click()
    expect(phone.get_by_role("alert")).to_contain_text("Line 3, column “thickness_mm”")
    phone.get_by_role("button", name="Keep this one").click()
    expect(phone.locator("#thickness_mm")).to_have_value("0.11")
    phone.wait_for_load_state()
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    kept = barrels.barrel_of_watch(store.reading(), uid)
    assert kept is not None
    assert (kept.version, kept.kept.thickness_mm, kept.kept.source) == (2, 0.11, "from the supplier")
