"""A webhook that really listens, on a port of its own."""

import json
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any


class Hook(ThreadingHTTPServer):
    """Keeps what it is sent; answers with `status`, and only while `answering` is set."""

    daemon_threads = True
    block_on_close = False

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Receive)
        self.status = 200
        self.got: list[dict[str, Any]] = []
        self.paths: list[str] = []
        self.arrived = threading.Semaphore(0)
        self.answering = threading.Event()
        self.answering.set()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.server_port}/hook"

    @property
    def keys(self) -> list[str]:
        return [message["key"] for message in self.got]

    def handle_error(self, request: object, client_address: object) -> None:
        """A sender that was killed is no error of the server's."""


class _Receive(BaseHTTPRequestHandler):
    server: Hook

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.got.append(json.loads(body))
        self.server.paths.append(self.path)
        self.server.arrived.release()
        self.server.answering.wait()
        self.send_response(self.server.status)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_: object) -> None:
        pass
