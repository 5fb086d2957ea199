"""Pictures in a real browser: drawn under the content policy, from this machine alone, and in nobody's way."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import PHONE
from tests.web.rounds import register
from tracker.store.store import Store

MORNINGS = tuple(24.0 * day + 1.0 for day in range(40, -1, -1))
DRAWN = ".picture[data-drawn] svg.main-svg"
INK_DAY, INK_NIGHT, INK_PAPER = "rgb(29, 35, 41)", "rgb(236, 231, 218)", "rgb(0, 0, 0)"


@pytest.fixture
def context(chromium: Browser, address: str) -> Iterator[BrowserContext]:
    opened = chromium.new_context(base_url=address, viewport=PHONE, has_touch=True, color_scheme="light")  # type: ignore[arg-type]  # a size
    opened.set_default_timeout(20_000)
    yield opened
    opened.close()


@pytest.fixture
def watch(store: Store) -> str:
    return f"/watch/{register(store, 'Night ferry', *MORNINGS)}"


def drawn(page: Page, path: str) -> Page:
    page.goto(path)
    for place in page.locator(".picture").all():
        place.scroll_into_view_if_needed()
        expect(place.locator("svg.main-svg").first).to_be_visible()
    return page


def test_pictures_are_drawn_on_a_phone_and_the_browser_complains_of_nothing(
    context: BrowserContext, watch: str
) -> None:
    page = context.new_page()
    said: list[str] = []
    hosts: set[str] = set()
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: hosts.add(request.url.split("/")[2]))
    drawn(page, watch)
    assert page.locator(".picture[data-drawn]").count() == 2
    assert page.locator(".picture .scatterlayer .trace").count() > 4
    assert page.locator(".modebar-btn").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert said == []
    assert hosts == {page.url.split("/")[2]}


def test_day_night_and_paper_are_followed_at_once(context: BrowserContext, watch: str) -> None:
    page = drawn(context.new_page(), watch)
    now = page.locator(".picture .shapelayer path").first
    expect(now).to_have_css("stroke", INK_DAY)
    page.emulate_media(color_scheme="dark")
    expect(now).to_have_css("stroke", INK_NIGHT)
    page.emulate_media(color_scheme="dark", media="print")
    expect(now).to_have_css("stroke", INK_PAPER)


def test_a_thumb_scrolls_past_a_picture(context: BrowserContext, watch: str) -> None:
    page = drawn(context.new_page(), watch)
    ground = page.locator(".picture .nsewdrag").last
    ground.scroll_into_view_if_needed()
    box, before = ground.bounding_box(), page.evaluate("scrollY")
    assert box is not None
    finger = context.new_cdp_session(page)
    for kind, moved in (("touchStart", 0), *(("touchMove", 10 * step) for step in range(1, 21)), ("touchEnd", None)):
        points = [] if moved is None else [{"x": 200, "y": box["y"] + box["height"] - 10 - moved}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    page.wait_for_function("before => scrollY > before + 100", arg=before)


def test_without_a_script_words_and_tables_are_all_there(chromium: Browser, address: str, watch: str) -> None:
    context = chromium.new_context(base_url=address, viewport=PHONE, java_script_enabled=False)  # type: ignore[arg-type]  # a size
    page = context.new_page()
    page.goto(watch)
    expect(page.get_by_text("The chance that it is still going")).to_be_visible()
    expect(page.locator(".picture").first).to_be_hidden()
    page.get_by_text("The figures behind this picture").last.click()
    expect(page.get_by_role("cell", name="the longest: at least 24 h").first).to_be_visible()
    context.close()


def test_a_page_whose_script_does_not_come_keeps_no_empty_place(context: BrowserContext, watch: str) -> None:
    page = context.new_page()
    page.route("**/pictures/*", lambda route: route.abort())
    page.goto(watch)
    page.locator("h2", has_text="Its reserve over time").scroll_into_view_if_needed()
    expect(page.locator(".picture").first).to_be_hidden()


def test_a_small_picture_is_drawn_and_leads_to_its_watch(context: BrowserContext, watch: str) -> None:
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    drawn(page, "/collection/reserves")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    box = page.locator(".picture.little").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_url(f"**{watch}")
    assert said == []
