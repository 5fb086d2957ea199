"""Every path by keyboard alone: each control is reached in its order and seen to be reached; a wind, a watch, an undo."""

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE, served
from tracker.store import register
from tracker.store.store import Store

MAIN = (
    "/",
    "/collection",
    "/services",
    "/away",
    "/bench",
    "/sensors",
    "/barrel",
    "/settings",
    "/collection/register",
    "/changes",
)
INNER_STOPS = 6
REACHABLE = """() => [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")]
  .filter(it => it.checkVisibility({visibilityProperty: true}) && !it.disabled && it.type !== "hidden" && it.tabIndex >= 0)
  .filter(it => it.type !== "radio" || it.checked || !document.querySelector(`input[name="${it.name}"]:checked`))
  .map((it, place) => (it.dataset.place = place, place))"""
FOCUSED = """() => {
  const it = document.activeElement, style = getComputedStyle(it), box = it.getBoundingClientRect();
  const seen = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 && box.width > 0 && box.right > 0;
  return [it.dataset.place === undefined ? null : Number(it.dataset.place), seen, it.outerHTML.slice(0, 100)];
}"""


@pytest.fixture(scope="module")
def pages(chromium: Browser, example: Store) -> Iterator[Page]:
    with served(example) as address:
        page = chromium.new_page(base_url=address, viewport=PHONE)  # type: ignore[arg-type]  # a size
        page.set_default_timeout(10_000)
        yield page
        page.close()


def _walk(page: Page) -> tuple[list[Any], list[str]]:
    """Where Tab leads from the top of the page, and what is reached without being seen to be."""
    expected = page.evaluate(REACHABLE)
    places, unseen = list[Any](), list[str]()
    for _ in range(INNER_STOPS * len(expected)):
        page.keyboard.press("Tab")
        place, seen, html = page.evaluate(FOCUSED)
        places += [] if places[-1:] == [place] else [place]  # a date has a stop for each of its parts
        unseen += [] if seen else [html]
        if len(places) == len(expected):
            break
    assert len(expected) > 5
    return [each for each, met in zip_longest(expected, places) if each != met], unseen


@pytest.mark.parametrize("path", MAIN)
def test_tab_reaches_each_control_in_the_order_of_the_page(pages: Page, path: str) -> None:
    pages.goto(path)
    missed, unseen = _walk(pages)
    assert (missed, unseen) == ([], [])


def _to(page: Page, role: Any, name: str) -> None:
    """Tab until this control has the focus."""
    wanted = page.get_by_role(role, name=name).first
    for _ in range(150):
        page.keyboard.press("Tab")
        if wanted.evaluate("it => it === document.activeElement"):
            return
    raise AssertionError(f"Tab does not reach {name}")


def test_the_first_tab_leads_past_the_head(pages: Page) -> None:
    pages.goto("/")
    pages.keyboard.press("Tab")
    expect(pages.get_by_role("link", name="To the content")).to_be_focused()
    pages.keyboard.press("Enter")
    pages.keyboard.press("Tab")
    assert pages.evaluate("() => document.activeElement.closest('main') !== null")


def test_a_watch_a_wind_and_an_undo(pages: Page, example: Store) -> None:
    pages.goto("/collection")
    _to(pages, "link", "Register watches")
    pages.keyboard.press("Enter")
    pages.wait_for_url("**/register")
    pages.evaluate("() => document.activeElement.blur()")
    _to(pages, "textbox", "Nicknames")
    pages.keyboard.type("Keyed")
    _to(pages, "button", "Save")
    pages.keyboard.press("Enter")
    expect(pages.get_by_role("status")).to_contain_text("Keyed")
    watch = register.watch_named(example.reading(), "Keyed")
    assert watch is not None

    pages.goto(f"/watch/{watch.uid}")
    _to(pages, "button", "Wound – it was going")
    pages.keyboard.press("Space")
    expect(pages.get_by_role("status")).to_contain_text("Keyed")
    _to(pages, "button", "Undo")
    pages.keyboard.press("Enter")
    expect(pages.get_by_role("status")).to_contain_text("Undone")


def test_what_is_folded_opens_and_closes_by_key(pages: Page) -> None:
    pages.goto("/")
    summary = pages.locator("main summary").first
    summary.focus()
    pages.keyboard.press("Enter")
    assert summary.evaluate("it => it.parentElement.open")
    pages.keyboard.press("Space")
    assert not summary.evaluate("it => it.parentElement.open")
