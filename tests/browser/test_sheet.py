"""A service with parts on a phone, then the sheet for its customer, on paper."""

import re
from datetime import timedelta

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.dials import PDF
from tests.web.rounds import HOUR, NOW, give
from tracker.commands.log import LogSighting, LogWind
from tracker.commands.register import RegisterWatch
from tracker.store.store import Store
from tracker.uids import uid_of

WATCH = uid_of("regulator")


@pytest.fixture
def regulator(store: Store) -> str:
    """A customer's watch with two run-downs behind it."""
    give(
        store,
        RegisterWatch(uid=WATCH, nickname="Regulator", job_number="W-7", belongs_to="A pilot", stated_reserve_h=40),
    )
    for days in (20, 10):
        at = NOW - timedelta(days=days)
        give(
            store,
            LogWind(watch_uid=WATCH, at=at, zone="UTC"),
            LogSighting(watch_uid=WATCH, at=at + 35 * HOUR, zone="UTC", seen="going"),
            LogSighting(watch_uid=WATCH, at=at + 36 * HOUR, zone="UTC", seen="stopped"),
        )
    return WATCH


def test_a_service_with_its_parts_becomes_a_sheet(phone: Page, regulator: str) -> None:
    phone.goto(f"/watch/{regulator}/log?kind=service")
    phone.get_by_label("What it was for").fill("Ran short")
    phone.get_by_label("Part 1").fill("mainspring")
    phone.get_by_label("Its spring before, mm").first.fill("1,30 x 0,115 x 350")
    phone.get_by_label("Its spring now, mm").first.fill("1,30 x 0,12 x 340")
    phone.get_by_label("Cost").fill("as agreed")
    phone.get_by_label("A file with it: photograph or PDF").set_input_files(
        {"name": "bill.pdf", "mimeType": "application/pdf", "buffer": PDF}
    )
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("status")).to_contain_text("Noted.")
    expect(phone.get_by_role("link", name="bill").first).to_be_visible()
    phone.get_by_role("link", name="A sheet to print").click()
    expect(phone.locator("article")).to_contain_text("mainspring: 1.3 × 0.115 × 350 mm before, 1.3 × 0.12 × 340 mm now")
    expect(phone.locator("article")).not_to_contain_text("as agreed")
    phone.get_by_label("the cost").check()
    phone.get_by_role("button", name="Show it so").click()
    expect(phone.locator("article")).to_contain_text("as agreed")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_on_paper_it_fits_two_pages_with_its_drawing_and_without_its_form(
    chromium: Browser, address: str, regulator: str, paper: str
) -> None:
    page = chromium.new_page(base_url=address)
    picked = "&".join(
        f"show={name}"
        for name in ("work", "readings", "reserve", "picture", "runs", "next", "odds", "cost", "cautions")
    )
    page.goto(f"/watch/{regulator}/sheet?chosen=yes&{picked}")
    page.emulate_media(media="print")
    expect(page.locator("form.pick")).to_be_hidden()
    expect(page.locator("nav")).to_be_hidden()
    drawing = page.locator("figure.paper > svg")
    expect(drawing).to_be_visible()
    box = drawing.bounding_box()
    assert box is not None
    assert box["height"] > 100
    assert page.locator("figure.paper > svg path[class^=run-]").count() == 2
    made = page.pdf(format=paper)
    assert made.startswith(b"%PDF-")
    assert 1 <= len(re.findall(rb"/Type\s*/Page\b", made)) <= 2
    page.close()
