"""The three set-ups in a real browser, and every page under the content policy with hostile notes."""

import http.client
import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE
from tests.certificates import authority, signed
from tests.network import require_network
from tests.web.household import AT_HOME, BY_PROXY, HELPERS, OWNERS, household
from tests.web.rounds import NOW, give, register
from tracker.commands.log import LogSighting
from tracker.commands.register import RegisterWatch
from tracker.reach import Reach
from tracker.serve import _server, listening_at
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

HOSTILE = "<script>document.title='run'</script><img src=x onerror=\"document.title='run'\">[x](javascript:alert(1))"
WATCH = uid_of("hostile")


@contextmanager
def waiting(store: Store, reach: Reach) -> Iterator[int]:
    """The pages by the server that people have; gives its port."""
    sockets = listening_at(reach.hosts, 0)
    server: Any = _server(create_app(store, now=lambda: NOW, reach=reach), sockets)

    def run() -> None:
        # Closed while it waits for its connections, it finds one gone.
        with suppress(OSError):
            server.run()

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    try:
        yield sockets[0].getsockname()[1]
    finally:
        server.close()
        thread.join(10)


class _Proxy(BaseHTTPRequestHandler):
    """A proxy that ends TLS and says so, as small as one can be."""

    port = 0
    protocol_version = "HTTP/1.0"

    def do_GET(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        behind = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        said = {name: value for name, value in self.headers.items() if name.lower() != "connection"}
        said |= {"X-Forwarded-For": str(self.client_address[0]), "X-Forwarded-Proto": "https"}
        said |= {"X-Forwarded-Host": self.headers["Host"]}
        with closing(behind):
            try:
                behind.request(self.command, self.path, body, said)
                answer = behind.getresponse()
                content = answer.read()
            except OSError:
                self.send_error(502)  # as proxies answer when nobody does behind them
                return
        self.send_response(answer.status)
        for name, value in answer.getheaders():
            if name.lower() not in {"transfer-encoding", "connection", "content-length", "server", "date"}:
                self.send_header(name, value)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    do_POST = do_GET  # noqa: N815 -- the library's name

    def log_message(self, *_: object) -> None:
        pass


@contextmanager
def https(port: int, folder: Path) -> Iterator[str]:
    """A proxy before this port; gives its address."""
    certificate, key = signed(authority(folder, "authority"), "watches", stands_for="DNS:watches.example")
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate, key)
    server = ThreadingHTTPServer(("127.0.0.1", 0), type("Proxy", (_Proxy,), {"port": port}))
    server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"https://watches.example:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join(10)


def log_in(page: Page, name: str, password: str, *, trusted: bool = False) -> None:
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(password)
    if trusted:
        page.get_by_label("This is my own phone").check()
    page.get_by_role("button", name="Log in").click()


@pytest.fixture
def lan() -> str:
    return require_network()


def test_at_home_a_phone_logs_in_once_and_stays(chromium: Browser, store: Store, lan: str) -> None:
    household(store)
    register(store, "Night ferry", 20.0)
    with waiting(store, replace(AT_HOME, hosts=("127.0.0.1", lan), names=(lan,))) as port:
        context = chromium.new_context(base_url=f"http://{lan}:{port}", viewport=PHONE)  # type: ignore[arg-type]  # a size
        page = context.new_page()
        page.goto("/collection")
        expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()
        expect(page.get_by_text("These pages come over plain http")).to_be_visible()
        log_in(page, "", "a wrong one")
        expect(page.get_by_role("alert")).to_have_text("This name and this password do not belong together.")
        log_in(page, "", OWNERS, trusted=True)
        expect(page.get_by_role("link", name="Night ferry")).to_be_visible()
        cookie = next(each for each in context.cookies() if each["name"] == "going-person")
        assert (cookie["httpOnly"], cookie["secure"]) == (True, False)
        assert cookie["expires"] > 0
        page.goto("/settings/people")
        expect(page.get_by_text("(this one)")).to_be_visible()
        page.get_by_role("button", name="Log out owner").click()
        expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()
        context.close()


def test_at_home_a_helper_winds_and_sees_no_settings(chromium: Browser, store: Store, lan: str) -> None:
    household(store)
    watch = register(store, "Night ferry", 20.0)
    with waiting(store, replace(AT_HOME, hosts=("127.0.0.1", lan), names=(lan,))) as port:
        page = chromium.new_page(base_url=f"http://{lan}:{port}", viewport=PHONE)  # type: ignore[arg-type]  # a size
        page.goto(f"/watch/{watch}")
        log_in(page, "grete", HELPERS)
        expect(page.get_by_role("link", name="Settings")).to_have_count(0)
        page.get_by_role("button", name="Wound – it was going").click()
        expect(page.get_by_role("status")).to_contain_text("Night ferry")
        page.get_by_role("button", name="Undo").click()
        page.goto("/settings")
        expect(page.get_by_role("heading", name="Only an owner sees this page.")).to_be_visible()
        page.close()


def test_by_a_proxy_all_is_https_and_cookies_are_secure(chromium: Browser, store: Store, tmp_path: Path) -> None:
    household(store)
    with waiting(store, BY_PROXY) as port, https(port, tmp_path) as address:
        browser = chromium.browser_type.launch(
            executable_path="/usr/bin/chromium",
            args=["--no-sandbox", "--disable-gpu", "--host-resolver-rules=MAP watches.example 127.0.0.1"],
        )
        context = browser.new_context(base_url=address, ignore_https_errors=True)
        page = context.new_page()
        page.goto("/")
        expect(page.get_by_text("plain http")).to_have_count(0)
        log_in(page, "owner", OWNERS)
        expect(page.get_by_role("heading", name="No watch is registered yet.")).to_be_visible()
        assert page.url == f"{address}/"
        assert all(each["secure"] and each["httpOnly"] for each in context.cookies())
        page.goto("/collection/register")
        page.locator("textarea").first.fill("Night ferry, going")
        page.locator("form button.first").first.click()
        expect(page.get_by_role("link", name="Night ferry").first).to_be_visible()
        browser.close()


def test_every_page_stands_under_the_policy_and_runs_nothing_of_a_note(
    chromium: Browser, address: str, store: Store
) -> None:
    give(
        store,
        RegisterWatch(
            uid=WATCH, nickname="<i>Tide</i>", stated_reserve_h=40, habit="keep going", place=HOSTILE[:40], note=HOSTILE,
            value=HOSTILE[:60], serial=HOSTILE[:60],
        ),
        LogSighting(watch_uid=WATCH, at=NOW, zone="UTC", seen="going", note=HOSTILE),
    )  # fmt: skip
    register(store, "Night ferry", 44.0, 20.0)
    page, said = chromium.new_page(base_url=address), list[str]()
    page.on("console", lambda message: said.append(f"{page.url} {message.text}"))
    page.on("pageerror", lambda error: said.append(f"{page.url} {error}"))
    app = create_app(store)
    paths = [
        rule.rule.replace("<uid>", WATCH)
        for rule in app.url_map.iter_rules()
        if "GET" in (rule.methods or ()) and rule.arguments <= {"uid"}
    ]
    seen = 0
    for path in paths:
        # What is no page, or is of something other than a watch, answers in a way of its own.
        answer = page.goto(path)
        assert answer is not None
        if answer.status == 404:
            said = [each for each in said if "404" not in each]
            continue
        seen += 1
        page.wait_for_load_state("load")
        assert page.title() != "run", path
    assert seen > 15
    assert [each for each in said if "404" not in each] == []
    page.close()


def test_a_slow_or_greedy_client_is_let_go(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.serve.LIMITS", {"threads": 4, "channel_timeout": 1, "cleanup_interval": 1})
    with waiting(store, Reach()) as port, socket.create_connection(("127.0.0.1", port), timeout=20) as slow:
        slow.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ")
        others = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        others.request("GET", "/healthz")
        assert others.getresponse().read()
        others.close()
        assert slow.recv(100) == b""


def test_connections_beyond_the_limit_wait_until_idle_ones_are_let_go(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = {"threads": 4, "connection_limit": 4, "channel_timeout": 1, "cleanup_interval": 1}
    monkeypatch.setattr("tracker.serve.LIMITS", few)
    with waiting(store, Reach()) as port, ExitStack() as stack:
        for _ in range(12):
            stack.enter_context(socket.create_connection(("127.0.0.1", port), timeout=20))
        late = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        late.request("GET", "/healthz")
        assert late.getresponse().status == 200
        late.close()
