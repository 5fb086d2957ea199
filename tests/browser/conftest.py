"""A real browser on a real server; skipped without Debian's chromium unless GOING_NEEDS_BROWSER=1."""

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from werkzeug.serving import make_server

from tests.web.rounds import NOW
from tracker.commands.door import Then
from tracker.derive import catch_up
from tracker.store.store import Store
from tracker.web.app import create_app

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 390, "height": 844}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if item.path.is_relative_to(here):
            item.add_marker(pytest.mark.browser)
            # A page left while its icon is still on the way: werkzeug's server, only used here, then leaves the file open.
            item.add_marker(pytest.mark.filterwarnings("ignore:unclosed file:ResourceWarning"))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if not CHROMIUM.exists():
        message = f"no browser: {CHROMIUM} is missing (Debian package chromium)"
        if os.environ.get("GOING_NEEDS_BROWSER") == "1":
            pytest.fail(message)
        pytest.skip(message)
    expect.set_options(timeout=30_000)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield browser
        browser.close()


def needs_poppler() -> None:
    """Skip, or fail where browser tests are compulsory, without the programs that look into a PDF."""
    if shutil.which("pdftoppm") is None:
        message = "no poppler: pdftoppm is missing (Debian package poppler-utils)"
        if os.environ.get("GOING_NEEDS_BROWSER") == "1":
            pytest.fail(message)
        pytest.skip(message)


@contextmanager
def served(store: Store, *, then: Then = catch_up, now: Callable[[], datetime] = lambda: NOW) -> Iterator[str]:
    """The pages of a collection, at NOW if no clock is given; gives their address."""
    server = make_server("127.0.0.1", 0, create_app(store, now=now, then=then), threaded=True)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@pytest.fixture
def address(store: Store) -> Iterator[str]:
    """Where the collection of `store` is served, at NOW."""
    with served(store) as found:
        yield found


@pytest.fixture(params=[True, False], ids=["script", "no script"])
def phone(request: pytest.FixtureRequest, chromium: Browser, address: str) -> Iterator[Page]:
    """A phone, once with JavaScript and once without."""
    context = chromium.new_context(base_url=address, viewport=PHONE, java_script_enabled=request.param)  # type: ignore[arg-type]  # a size
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()
