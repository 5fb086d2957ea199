"""The round sheet as it comes out of a printer, and by thumb the way from it to what was written on it."""

import subprocess
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import needs_poppler
from tests.web.rounds import register
from tracker.store import log
from tracker.store.store import Store


def test_it_prints_every_watch_with_its_boxes_and_none_of_the_buttons(
    chromium: Browser, address: str, store: Store, tmp_path: Path
) -> None:
    needs_poppler()
    names = [f"Watch {n:02d}" for n in range(14)]
    for name in names:
        register(store, name, 39)
    page = chromium.new_page(base_url=address)
    page.goto("/round/sheet")
    for paper in ("A4", "Letter"):
        file = tmp_path / f"{paper}.pdf"
        page.pdf(path=file, format=paper)
        told = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, text=True, check=True).stdout
        sheets = told.rstrip("\f").split("\f")
        assert len(sheets) == 2
        assert [name for name in names if told.count(name) != 1] == []
        assert [sheet.count("How") for sheet in sheets] == [1, 1], "the head of the table stands on each sheet"
        assert (told.count("was going"), told.count("had stopped")) == (14, 14)
        assert [word for word in ("Settings", "Type in", "fortnight", "While away") if word in told] == []
    page.close()


def test_what_was_written_on_it_is_typed_in_by_thumb(phone: Page, store: Store) -> None:
    uid = register(store, "Night ferry", 39)
    phone.goto("/")
    phone.get_by_role("link", name="A sheet to print").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("To be wound: one")
    phone.get_by_role("link", name="Type in what was written here").click()
    phone.get_by_label("How Night ferry was").select_option("wound; it had stopped")
    phone.get_by_label("at", exact=True).fill("0610")
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("status")).to_contain_text("Noted: one of 2026-11-25.")
    assert log.entry_rows(store.reading(), uid)[0]["found"] == "stopped"
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
