"""A server that a test takes away and brings back under the same address, at a time of its own."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from playwright.sync_api import Page
from werkzeug.serving import BaseWSGIServer, make_server

from tests.web.rounds import NOW
from tracker.reach import Reach
from tracker.store.store import Store
from tracker.web.app import create_app

BEGIN = NOW + timedelta(seconds=30)
"""Half a minute past, so that the moments a test takes do not turn the minute back."""


class Standing:
    """The pages of a collection; `now` is what its clock shows."""

    def __init__(self, store: Store, reach: Reach) -> None:
        self.store = store
        self.reach = reach
        self.now = BEGIN
        self.port = 0
        self._server: BaseWSGIServer | None = None
        self._thread = threading.Thread()

    def comes(self) -> None:
        """Serve, as a program started anew does."""
        app = create_app(self.store, now=self._tell, reach=self.reach)
        self._server = make_server("127.0.0.1", self.port, app, threaded=True)
        self.port = self._server.server_port
        self._thread = threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.02})
        self._thread.start()

    def goes(self) -> None:
        """Be away: what asks is refused at once."""
        if self._server is not None:
            self._server.shutdown()
            self._thread.join()
            self._server.server_close()
            self._server = None

    def pass_time(self, page: Page, minutes: int) -> None:
        """Let time pass for the server and for the page, whose timers run."""
        self.now += timedelta(minutes=minutes)
        page.clock.run_for(minutes * 60_000)

    def _tell(self) -> datetime:
        return self.now


@contextmanager
def standing(store: Store, reach: Reach | None = None) -> Iterator[Standing]:
    """One that is there to begin with."""
    server = Standing(store, reach or Reach())
    server.comes()
    try:
        yield server
    finally:
        server.goes()
