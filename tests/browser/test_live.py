"""A page shows by itself what was worked out meanwhile, and takes nothing out of the reader's hands."""

from collections.abc import Collection, Iterator
from datetime import datetime

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE, served
from tests.web.rounds import NOW, register
from tracker import derive
from tracker.estimating import patience
from tracker.store.store import Store

ANEW = "being worked out anew"


def _later(_store: Store, _now: datetime, _uids: Collection[str]) -> None:
    """A worker that is busy elsewhere."""


@pytest.fixture
def address(store: Store, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setattr(patience, "LONGEST_S", 0.0)
    with served(store, then=_later) as found:
        yield found


@pytest.fixture
def reader(chromium: Browser, address: str) -> Iterator[Page]:
    """A phone with JavaScript."""
    context = chromium.new_context(base_url=address, viewport=PHONE)  # type: ignore[arg-type]  # a size
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()


def _look_at(page: Page, nickname: str) -> None:
    """Note that a watch was only seen going."""
    row = page.get_by_role("region", name=nickname)
    row.get_by_text("What the hands showed, or more").click()
    row.get_by_role("button", name="It was only seen going").click()


def test_the_figure_comes_by_itself_and_undo_stays(reader: Page, store: Store) -> None:
    register(store, "Bar buoy", 31)
    reader.goto("/")
    _look_at(reader, "Bar buoy")
    expect(reader.get_by_text(ANEW)).to_be_visible()
    reader.evaluate("window.sameDocument = true")
    derive.catch_up(store, NOW)
    expect(reader.get_by_text(ANEW)).to_have_count(0)
    expect(reader.get_by_role("button", name="Undo")).to_be_visible()
    assert reader.evaluate("window.sameDocument")


def test_what_is_being_typed_is_left_alone(reader: Page, store: Store) -> None:
    register(store, "Night ferry", 31)
    reader.goto("/")
    _look_at(reader, "Night ferry")
    expect(reader.get_by_text(ANEW)).to_be_visible()
    reader.get_by_text("What the hands showed, or more").click()
    hands = reader.get_by_label("It had stopped and the hands showed")
    hands.fill("43")
    with reader.expect_response(lambda answer: "/worked-out" in answer.url and answer.json()["waiting"] == 0):
        derive.catch_up(store, NOW)
    hands.press("7")
    expect(hands).to_have_value("437")
    expect(reader.get_by_text(ANEW)).to_be_visible()
    expect(reader.get_by_role("link", name="Look again")).to_be_visible()


def test_without_script_a_link_looks_again(phone: Page, store: Store) -> None:
    register(store, "Night ferry", 31)
    phone.goto("/")
    _look_at(phone, "Night ferry")
    derive.catch_up(store, NOW)
    if phone.get_by_text(ANEW).count():
        phone.get_by_role("link", name="Look again").click()
    expect(phone.get_by_text(ANEW)).to_have_count(0)
