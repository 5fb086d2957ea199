"""The pages installed under https: what the worker keeps, the page it shows meanwhile, what it sends, what it lets go."""

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser import icons
from tests.browser.conftest import CHROMIUM, FLAGS, PHONE
from tests.browser.standing import BEGIN, Standing, standing
from tests.browser.test_access import https, log_in
from tests.browser.test_axe import of_shown
from tests.network import require_network
from tests.patience import until
from tests.web.household import BY_PROXY, OWNERS, household
from tests.web.rounds import register
from tracker.store import log
from tracker.store.store import Store
from tracker.web import install, statics

OF_A_CERTIFICATE_OF_OUR_OWN = {"in-incognito", "not-from-secure-origin"}
"""What Chromium holds against installing from a test: its private window, and an authority that it does not know."""
HELD = """async () => {
  const found = {};
  for (const name of await caches.keys()) {
    found[name] = (await (await caches.open(name)).keys()).map(({ url }) => new URL(url).pathname);
  }
  return found;
}"""
ACTIVE = "navigator.serviceWorker.getRegistration().then((found) => Boolean(found && found.active))"
LEFT = """(of) => new Promise((resolve) => {
  indexedDB.open("going-barrel").onsuccess = ({ target: { result: kept } }) => {
    kept.transaction(of).objectStore(of).count().onsuccess = ({ target }) => { kept.close(); resolve(target.result); };
  };
})"""
"""How many taps, or names, are kept."""
CLOSED = "You may close this page."


@pytest.fixture
def server(store: Store) -> Iterator[Standing]:
    household(store)
    with standing(store, BY_PROXY) as found:
        yield found


@pytest.fixture
def home(chromium: Browser, server: Standing, tmp_path: Path) -> Iterator[BrowserContext]:
    """A phone that reaches the server by a proxy under https; both stand where a name leads to."""
    with https(server.port, tmp_path) as address:
        flags = ["--host-resolver-rules=MAP watches.example 127.0.0.1", "--ignore-certificate-errors"]
        browser = chromium.browser_type.launch(executable_path=str(CHROMIUM), args=[*FLAGS, *flags])
        size: Any = PHONE
        context = browser.new_context(base_url=address, ignore_https_errors=True, viewport=size)
        context.set_default_timeout(10_000)
        yield context
        browser.close()


def begin(home: BrowserContext) -> Page:
    """Log in, and wait until the worker is at work."""
    page = home.new_page()
    page.goto("/")
    log_in(page, "", OWNERS)
    page.get_by_role("button", name="Log out owner").wait_for()
    until(lambda: bool(page.evaluate(ACTIVE)))
    page.goto("/")  # a page that was under way meanwhile may be out of its hands
    assert page.evaluate("navigator.serviceWorker.controller !== null")
    return page


def held(page: Page) -> dict[str, list[str]]:
    found: dict[str, list[str]] = page.evaluate(HELD)
    return found


def sync(home: BrowserContext, page: Page) -> None:
    """What a browser does by itself once there is a way again, also with no page open."""
    session, origin = home.new_cdp_session(page), page.evaluate("location.origin")
    known: list[str] = []
    session.on(
        "ServiceWorker.workerRegistrationUpdated",
        lambda told: known.extend(each["registrationId"] for each in told["registrations"]),
    )
    session.send("ServiceWorker.enable")
    until(lambda: page.evaluate("1") == 1 and bool(known))
    given = {"origin": origin, "registrationId": known[-1], "tag": "kept", "lastChance": False}
    session.send("ServiceWorker.dispatchSyncEvent", given)


def winds(store: Store, uid: str) -> int:
    return len(log.entry_rows(store.reading(), uid)) - 1


def test_away_it_shows_one_page_that_takes_winds_and_sends_them_with_no_page_open(
    home: BrowserContext, server: Standing, store: Store
) -> None:
    # In no network a browser takes itself to be offline, and its worker is never called.
    require_network()
    uid, other = register(store, "Night ferry", 31), register(store, "Grey dial", 10)
    page = begin(home)
    session = home.new_cdp_session(page)
    told = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert {each["errorId"] for each in told} == OF_A_CERTIFICATE_OF_OUR_OWN
    assert session.send("Page.getAppManifest")["errors"] == []
    server.goes()
    page.goto(f"/watch/{other}")
    expect(page.get_by_role("heading", level=1)).to_have_text("The server does not answer.")
    expect(page.get_by_role("heading", level=2)).to_have_text(["Night ferry", "Grey dial"])
    page.get_by_role("region", name="Night ferry").get_by_role("button", name="Wound – it was going").click()
    expect(page.get_by_role("region", name="Kept on this device")).to_contain_text(CLOSED)
    assert of_shown(page, "the page that stands in") == []
    page.goto("about:blank")
    server.comes()
    watching = home.new_page()
    watching.goto("/going.webmanifest")  # no page: it sends nothing itself
    sync(home, watching)
    until(lambda: watching.evaluate(LEFT, "taps") == 0)
    assert winds(store, uid) == 1
    page.goto("/")
    expect(page.get_by_role("status")).to_have_text(re.compile("Sent: Night ferry wound today 07:25, found going."))
    assert winds(store, other) == 0
    (kept,) = held(page).values()
    static = {f"/static/{statics.digest()}/{name}" for name in install.KEPT}
    assert set(kept) == {*static, "/unreachable"}


def test_after_a_log_out_no_name_is_left_and_after_an_update_no_old_file(
    home: BrowserContext, server: Standing, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    register(store, "Night ferry", 31)
    page = begin(home)
    monkeypatch.setattr(statics, "digest", lambda: "0123456789ab")
    server.goes()
    server.comes()
    page.goto("/")
    until(lambda: [name.rpartition("-")[0] for name in held(page)] == ["going-0123456789ab"])
    page.get_by_role("button", name="Log out owner").click()
    expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()
    until(lambda: page.evaluate(LEFT, "names") == 0)
    server.goes()
    page.goto("/")
    expect(page.get_by_text("No round was opened here since the last log-in")).to_be_visible()
    expect(page.get_by_role("button", name="Wound –")).to_have_count(0)
    server.comes()
    page.get_by_role("link", name="Try again").click()
    expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()
    assert server.now == BEGIN


@pytest.mark.parametrize("name", icons.SIZES)
def test_the_icons_are_those_of_the_drawing(chromium: Browser, name: str) -> None:
    kept, drawn = (
        Image.open(io.BytesIO(each)).convert("RGBA")
        for each in (statics.files()[name].plain, icons.drawn(chromium, name))
    )
    assert kept.size == (icons.SIZES[name], icons.SIZES[name])
    difference = np.abs(np.asarray(kept, dtype=int) - np.asarray(drawn, dtype=int))
    assert difference.max() <= 32  # edges may be drawn otherwise
