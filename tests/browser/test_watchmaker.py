"""A customer's watch on its way over the bench, from the day it comes in to the day it goes out, on a phone."""

import re
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE, served
from tests.dials import PDF
from tests.web.rounds import HOUR, NOW
from tracker.core.timing import POSITIONS
from tracker.store.store import Store

LIST = b"name;height_mm;thickness_mm;length_mm\nDrawer 3;1,3;0,12;340\nDrawer 4;1,3;0,11;360\n"
MEASURED = {
    "drum_diameter_mm": "11",
    "arbor_diameter_mm": "3,4",
    "spring": "1,3 x 0,115 x 350",
    "modulus_gpa": "205",
    "free_turns": "6",
    "hours_per_turn": "6,5",
    "least_torque_nmm": "3",
}


class Bench:
    """Whoever works with the pages, and a clock that can be moved on."""

    def __init__(self) -> None:
        self.now = NOW

    def clock(self) -> datetime:
        return self.now


@pytest.fixture
def bench() -> Bench:
    return Bench()


@pytest.fixture
def phone(chromium: Browser, store: Store, bench: Bench) -> Iterator[Page]:
    with served(store, now=bench.clock) as address:
        context = chromium.new_context(base_url=address, viewport=PHONE)  # type: ignore[arg-type]  # a size
        context.set_default_timeout(10_000)
        yield context.new_page()
        context.close()


def take_in(phone: Page) -> None:
    phone.goto("/collection/customers")
    phone.get_by_role("link", name="Take in a customer’s watch").click()
    phone.get_by_label("Nicknames, one a line").fill("Regulator")
    phone.get_by_label("Belongs to").fill("A pilot")
    phone.get_by_label("Job number").fill("W-7")
    phone.get_by_label("Promised for").fill(f"{NOW + timedelta(days=21):%Y-%m-%d}")
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_text("At the bench:")).to_be_visible()


def to(phone: Page, watch: str, name: str) -> None:
    phone.goto(watch)
    phone.locator("p.links", has_text="At the bench:").get_by_role("link", name=name, exact=True).click()


def read(phone: Page, watch: str, occasion: str, minutes: int, amplitude: int) -> None:
    to(phone, watch, "readings")
    phone.get_by_label("When it is read").select_option(occasion)
    phone.get_by_label("Minutes since it was fully wound").fill(str(minutes))
    for position in POSITIONS:
        phone.get_by_label(f"Rate, seconds a day, {position}", exact=True).fill("4,5")
        phone.get_by_label(f"Amplitude, degrees, {position}", exact=True).fill(str(amplitude))
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("status")).to_contain_text("6 readings noted.")


def run_down(phone: Page, bench: Bench, watch: str, occasion: str, hours: int) -> None:
    to(phone, watch, "a run-down test")
    phone.get_by_label("Occasion").select_option(occasion)
    phone.get_by_label("Its hands are set to the time").check()
    phone.get_by_role("button", name="Wound: begin the test").click()
    expect(phone.get_by_role("status")).to_contain_text("under test: Regulator")
    expect(phone.get_by_role("link", name="begin a run-down test")).to_have_count(0)
    bench.now += (hours - 3) * HOUR
    phone.goto("/bench")
    phone.get_by_role("button", name="Going").click()
    stood, bench.now = bench.now + 3 * HOUR, bench.now + 4 * HOUR
    phone.goto("/bench")
    phone.get_by_label("If it has stopped: what its hands show").fill(f"{stood:%H%M}")
    phone.get_by_role("button", name="Stopped").last.click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("No run-down test is going.")


def choose_a_spring(phone: Page, watch: str) -> None:
    to(phone, watch, "its barrel")
    for name, value in MEASURED.items():
        phone.locator(f"#{name}").fill(value)
    phone.get_by_role("button", name="Reckon").click()
    phone.get_by_label("A train better by a factor of").fill("1,3")
    phone.get_by_role("button", name="Reckon").click()
    expect(phone.get_by_role("rowheader", name="A train better by a factor of 1.3")).to_be_visible()
    phone.get_by_role("button", name="Keep this as the barrel of Regulator").click()
    phone.get_by_label("Or as a CSV file").set_input_files(
        {"name": "springs.csv", "mimeType": "text/csv", "buffer": LIST}
    )
    phone.get_by_role("button", name="Rank these springs").click()
    phone.get_by_role("button", name="Keep this one").first.click()
    expect(phone.locator("#thickness_mm")).to_have_value("0.12")


def serve(phone: Page, watch: str) -> None:
    to(phone, watch, "what was done")
    phone.get_by_label("What was done").fill("Cleaned")
    phone.get_by_label("Part 1").fill("mainspring")
    phone.get_by_label("Its spring before, mm").first.fill("1,3 x 0,115 x 350")
    phone.get_by_label("Its spring now, mm").first.fill("1,3 x 0,12 x 340")
    phone.get_by_label("Lubricants").fill("barrel grease on the wall")
    phone.get_by_label("A file with it: photograph or PDF").set_input_files(
        {"name": "drum.pdf", "mimeType": "application/pdf", "buffer": PDF}
    )
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("status")).to_contain_text("Noted.")


def test_a_customers_watch_goes_over_the_bench_and_out_again(phone: Page, bench: Bench) -> None:
    take_in(phone)
    watch = phone.url
    read(phone, watch, "before a service", 30, 250)
    run_down(phone, bench, watch, "before service", 41)
    choose_a_spring(phone, watch)
    to(phone, watch, "which part is it")
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^Regulator: by the sums 5. h, now "))
    expect(
        phone.get_by_text(re.compile("^It runs short of the sum by .* h; its band does not reach it"))
    ).to_be_visible()
    bench.now += HOUR
    serve(phone, watch)
    bench.now += HOUR
    read(phone, watch, "after a service", 30, 290)
    run_down(phone, bench, watch, "after service", 50)
    to(phone, watch, "the sheet")
    expect(phone.locator("article")).to_contain_text("1.3 × 0.115 × 350 mm before, 1.3 × 0.12 × 340 mm now")
    phone.goto(watch)
    phone.get_by_role("button", name="It went out today").click()
    expect(phone.get_by_role("status")).to_contain_text("Regulator went out.")
    phone.wait_for_load_state()
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    for path in ("/away", "/messages", "/collection"):
        phone.goto(path)
        expect(phone.locator("main")).not_to_contain_text("Regulator")
