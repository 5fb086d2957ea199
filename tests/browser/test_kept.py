"""A wind tapped while the server is away is kept in the page, sent once when it is back, and never lost without a word."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect

from tests.browser.conftest import CHROMIUM, FLAGS, PHONE
from tests.browser.standing import BEGIN, Standing, standing
from tests.browser.test_access import log_in
from tests.web.household import AT_HOME, HELPERS, OWNERS, household
from tests.web.rounds import give, register
from tracker.commands.settings import ChangeSettings
from tracker.reach import Reach
from tracker.store import log
from tracker.store.store import Store

AWAY = "The server does not answer. This is kept here and sent when it does."


@pytest.fixture
def server(store: Store) -> Iterator[Standing]:
    with standing(store) as found:
        yield found


def phone_at(chromium: Browser, server: Standing, name: str = "127.0.0.1") -> Page:
    """A phone whose clock shows what the server's does; its timers run when time passes."""
    size: Any = PHONE
    context = chromium.new_context(base_url=f"http://{name}:{server.port}", viewport=size, timezone_id="Europe/London")
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.clock.install(time=BEGIN)
    return page


@pytest.fixture
def phone(chromium: Browser, server: Standing) -> Iterator[Page]:
    page = phone_at(chromium, server)
    yield page
    page.context.close()


def kept(page: Page) -> Locator:
    return page.get_by_role("region", name="Kept on this device")


def tap(page: Page, nickname: str, label: str = "Wound – it was going") -> None:
    page.get_by_role("region", name=nickname).get_by_role("button", name=label).click()


def winds(store: Store, uid: str) -> list[str]:
    """When it was wound, but for the first."""
    return sorted(row["at_utc"][:16] for row in log.entry_rows(store.reading(), uid))[1:]


def test_it_is_sent_once_with_its_own_time_and_the_page_says_both(phone: Page, server: Standing, store: Store) -> None:
    a, b = register(store, "Night ferry", 31), register(store, "Grey dial", 31)
    phone.goto("/")
    server.goes()
    tap(phone, "Night ferry")
    expect(kept(phone)).to_contain_text(AWAY)
    expect(kept(phone)).to_contain_text("Night ferry wound at 07:25, found going")
    expect(phone.get_by_role("region", name="Night ferry")).to_contain_text("Kept: wound at 07:25, found going.")
    tap(phone, "Night ferry")  # a second tap of the same is the same
    server.pass_time(phone, 6)
    tap(phone, "Grey dial", "Wound – it had stopped")
    expect(kept(phone).get_by_role("listitem")).to_have_count(2)
    expect(kept(phone)).to_contain_text("Grey dial wound at 07:31, found stopped")
    assert winds(store, a) == winds(store, b) == []
    server.comes()
    server.pass_time(phone, 30)
    expect(phone.get_by_role("status")).to_have_text(
        [
            re.compile("Sent: Night ferry wound today 07:25, found going."),
            re.compile("Sent: Grey dial wound today 07:31,"),
        ]
    )
    expect(kept(phone)).to_be_hidden()
    assert winds(store, a) == ["2026-11-25T07:25"]
    assert winds(store, b) == ["2026-11-25T07:31"]
    phone.get_by_role("button", name="Undo").first.click()
    expect(phone.get_by_role("status")).to_have_text("Undone.")
    assert winds(store, a) == []


def test_one_taken_back_is_not_sent_and_one_of_a_closed_page_is(phone: Page, server: Standing, store: Store) -> None:
    uids = [register(store, name, 31) for name in ("A", "B", "C")]
    phone.goto("/")
    server.goes()
    phone.get_by_text("Choose which …").click()
    phone.get_by_role("checkbox", name="B").uncheck()
    phone.get_by_label("When").select_option("this morning")
    phone.get_by_role("button", name="All three wound, all were going").click()
    expect(kept(phone)).to_contain_text("A, C wound this morning (tapped at 07:25), found going")
    kept(phone).get_by_role("button", name="Undo").click()
    expect(kept(phone)).to_contain_text("Taken back, not sent: A, C wound this morning")
    tap(phone, "B")
    expect(kept(phone)).to_contain_text("B wound this morning")
    phone.close()
    server.comes()
    later = phone.context.new_page()
    later.goto("/collection")
    expect(later.get_by_role("status")).to_have_text(re.compile("Sent: B wound today in the morning"))
    assert [len(winds(store, uid)) for uid in uids] == [0, 1, 0]


def test_taps_while_one_is_on_its_way_are_kept_too(phone: Page, store: Store) -> None:
    uids = [register(store, name, 31) for name in ("A", "B", "C")]
    phone.goto("/")
    held, holds = list[Route](), True
    phone.route("**/log/kept", lambda route: held.append(route) if holds else route.continue_())
    for name in ("A", "B", "C"):
        tap(phone, name)
    phone.clock.run_for(1500)
    expect(kept(phone)).to_contain_text("On its way to the server.")
    expect(kept(phone).get_by_role("listitem")).to_have_count(3)
    kept(phone).get_by_role("button", name="Undo").nth(1).click()
    expect(kept(phone)).to_contain_text("Taken back, not sent: B wound")
    holds = False
    held[0].abort()
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^One to wind"))
    expect(kept(phone)).to_be_hidden()
    assert [len(winds(store, uid)) for uid in uids] == [1, 0, 1]


def lose_answers(route: Route) -> None:
    """The server gets it, and its answer is lost on the way."""
    if route.request.method == "POST":
        route.fetch()
        route.abort()
    else:
        route.continue_()


@pytest.mark.parametrize("taken_back", [False, True])
def test_where_the_answer_was_lost_it_is_noted_once_or_taken_out_again(
    phone: Page, server: Standing, store: Store, *, taken_back: bool
) -> None:
    uid = register(store, "Night ferry", 31)
    phone.goto("/")
    phone.route("**/log/kept", lose_answers)
    tap(phone, "Night ferry")
    expect(kept(phone)).to_contain_text(AWAY)
    assert len(winds(store, uid)) == 1
    if taken_back:
        kept(phone).get_by_role("button", name="Undo").click()
        expect(kept(phone)).to_contain_text("Should it have reached the server, it is taken out there")
    phone.unroute("**/log/kept")
    server.pass_time(phone, 1)
    expect(phone.get_by_role("heading", level=1)).to_have_text(re.compile("^One" if taken_back else "^Nothing"))
    expect(kept(phone)).to_be_hidden()
    assert len(winds(store, uid)) == (0 if taken_back else 1)


def test_what_the_server_refuses_later_stands_there_with_its_sentence(
    phone: Page, server: Standing, store: Store
) -> None:
    uid = register(store, "Night ferry", 41)
    give(store, ChangeSettings(zone="Europe/London", clock="12 h"))
    phone.goto("/")
    server.goes()
    phone.get_by_text("What the hands showed, or more").click()
    phone.get_by_label("It had stopped and the hands showed").fill("99:99")
    tap(phone, "Night ferry", "Wound – it had stopped")
    expect(kept(phone)).to_contain_text("Night ferry wound at 7:25 am, found stopped")
    phone.clock.fast_forward("24:00:00")
    expect(kept(phone)).to_contain_text("Night ferry wound at Wed 7:25 am, found stopped")
    server.comes()
    server.pass_time(phone, 1)
    expect(kept(phone)).to_contain_text("Not noted; it stands here until you drop it.")
    expect(kept(phone)).to_contain_text("“99:99” is not a time on a dial.")
    expect(kept(phone).get_by_role("link", name="The watch")).to_have_attribute("href", f"/watch/{uid}")
    phone.reload()
    kept(phone).get_by_role("button", name="Drop it").click()
    expect(kept(phone)).to_be_hidden()
    assert winds(store, uid) == []


def test_a_page_that_is_being_filled_in_is_left_as_it_is(phone: Page, server: Standing, store: Store) -> None:
    register(store, "Night ferry", 31)
    register(store, "Grey dial", 31)
    phone.goto("/")
    server.goes()
    tap(phone, "Night ferry")
    expect(kept(phone)).to_contain_text(AWAY)
    phone.route("**/log/kept", lambda route: route.fulfill(status=503, json={"problem": "The disk is full."}))
    server.pass_time(phone, 1)
    expect(kept(phone)).to_contain_text("The server can't take it now. This is kept here and sent when it can.")
    expect(kept(phone)).to_contain_text("found going. The disk is full.")
    phone.unroute("**/log/kept")
    row = phone.get_by_role("region", name="Grey dial")
    row.get_by_text("What the hands showed, or more").click()
    row.get_by_label("It had stopped and the hands showed").fill("437")
    server.comes()
    server.pass_time(phone, 1)
    expect(kept(phone)).to_contain_text("Sent and noted, with the time of the tap.")
    expect(row.get_by_label("It had stopped and the hands showed")).to_have_value("437")
    kept(phone).get_by_role("link", name="Show what stands now").click()
    expect(phone.get_by_role("status")).to_contain_text("Sent: Night ferry wound today 07:25")


def test_after_a_log_out_it_asks_to_log_in_and_is_sent_by_who_tapped(chromium: Browser, store: Store) -> None:
    household(store)
    uid = register(store, "Night ferry", 31)
    with standing(store, AT_HOME) as server:
        phone = phone_at(chromium, server)
        phone.goto("/")
        log_in(phone, "", OWNERS)
        phone.get_by_role("button", name="Log out owner").wait_for()
        server.goes()
        tap(phone, "Night ferry")
        expect(kept(phone)).to_contain_text(AWAY)
        phone.context.clear_cookies()
        server.comes()
        server.pass_time(phone, 1)
        expect(kept(phone)).to_contain_text("You are logged out. This is kept here and sent once you have logged in.")
        kept(phone).get_by_role("link", name="Log in").click()
        log_in(phone, "grete", HELPERS)
        expect(kept(phone)).to_contain_text("Kept here for owner, and sent once owner has logged in.")
        assert winds(store, uid) == []
        phone.get_by_role("button", name="Log out Grete").click()
        log_in(phone, "", OWNERS)
        expect(phone.get_by_role("status")).to_have_text(re.compile("Sent: Night ferry wound today 07:25"))
        assert len(winds(store, uid)) == 1
        assert phone.evaluate("navigator.serviceWorker.getRegistrations().then(found => found.length)") == 0
        phone.context.close()


NOTHING_CAN_BE_KEPT = """Object.defineProperty(window, "indexedDB", { get() { throw new Error("refused"); } });"""


def test_over_plain_http_it_is_kept_too_and_nothing_else_is_offered(chromium: Browser, store: Store) -> None:
    uid = register(store, "Night ferry", 31)
    flags = [*FLAGS, "--host-resolver-rules=MAP watches.example 127.0.0.1"]
    browser = chromium.browser_type.launch(executable_path=str(CHROMIUM), args=flags)
    with standing(store, Reach(names=("watches.example",))) as server:
        phone = phone_at(browser, server, "watches.example")
        phone.goto("/")
        assert not phone.evaluate("isSecureContext || Boolean(navigator.serviceWorker)")
        expect(phone.locator("link[rel=manifest]")).to_have_count(0)
        phone.add_init_script(NOTHING_CAN_BE_KEPT)
        for hint in ("Leave this page open, or open it again later.", "closed, it forgets this."):
            server.goes()
            tap(phone, "Night ferry")
            expect(kept(phone)).to_contain_text(hint)
            server.comes()
            server.pass_time(phone, 1)
            expect(phone.get_by_role("status")).to_contain_text("Sent: Night ferry wound today 07:2")
            assert len(winds(store, uid)) == 1
            phone.get_by_role("button", name="Undo").click()
            expect(phone.get_by_role("status")).to_have_text("Undone.")
        browser.close()
