"""Nothing secret reaches what the program writes to its log: not by use, not by mistakes, not by failures."""

import os
import re
import subprocess
import sys
from contextlib import closing, suppress
from datetime import UTC, datetime
from http.cookiejar import CookieJar, DefaultCookiePolicy
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urlencode, urljoin
from urllib.request import HTTPCookieProcessor, Request, build_opener

from tests.patience import until
from tests.serving import ADDRESS
from tracker import tokens
from tracker.collection import open_collection, owner
from tracker.commands.channel import AddChannel
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.passwords import new_password
from tracker.store import people
from tracker.store.channels import keep_address
from tracker.uids import new_uid, uid_of

ROOT = Path(__file__).parents[1]
PASSWORD, MISTYPED, BROKERS, HOOK = "nine brown barrels", "nine brown barrel5", "broker-word-4711", "hook-9911-secret"
TOML = f"""
[web]
trusted_proxy = "127.0.0.1"
[mqtt]
host = "127.0.0.1"
port = 9
user = "watches"
password = "{BROKERS}"
"""


def test_no_secret_reaches_the_log(tmp_path: Path) -> None:
    now = datetime.now(UTC)
    (tmp_path / "going.toml").write_text(TOML)
    with closing(open_collection(tmp_path, now)) as store:
        who = owner(store, "page", now)
        submit(store, [RegisterWatch(nickname="Night ferry")], who)
        mine = people.first_owner(store.reading())
        assert mine is not None
        submit(store, [new_password(store, new_uid(now), mine, PASSWORD)], who)
        command, token = tokens.new_token(store, new_uid(now), {"name": "display", "scope": "all"})
        channel = AddChannel(name="Phone", address_uid=uid_of("address"))
        with store.change() as db:
            keep_address(db, uid_of("address"), f"json://127.0.0.1:9/{HOOK}")
        submit(store, [command, channel], who)
    env = {**os.environ, "GOING_DATA": str(tmp_path), "PYTHONPATH": str(ROOT)}
    log = tmp_path / "log"
    with log.open("w") as out:
        command_line = [sys.executable, "-m", "tracker", "serve", "--port", "0"]
        server = subprocess.Popen(command_line, env=env, stdout=out, stderr=subprocess.STDOUT)
        try:
            until(lambda: ADDRESS.search(log.read_text()) is not None)
            found = ADDRESS.search(log.read_text())
            assert found is not None
            secrets = [PASSWORD, MISTYPED, BROKERS, HOOK, token, *_use(found[0], channel.uid, token)]
            until(lambda: "could not" in log.read_text() or "refused" in log.read_text().lower())
        finally:
            server.terminate()
            server.wait(30)
    said = log.read_text()
    assert len(said.splitlines()) > 1
    for secret in secrets:
        assert secret not in said


def _use(address: str, channel: str, token: str) -> list[str]:
    """Log in, wrongly first; try a channel that fails; ask with a token, right and torn; gives the session's own secret."""
    # Behind a proxy cookies are for https alone; here there is none before the server.
    jar = CookieJar(DefaultCookiePolicy(secure_protocols=("http", "https")))
    opener = build_opener(HTTPCookieProcessor(jar))

    def send(path: str, form: dict[str, str] | None = None, **headers: str) -> str:
        body = urlencode(form).encode() if form is not None else None
        with suppress(HTTPError), opener.open(Request(urljoin(address, path), body, headers), timeout=20) as answer:  # noqa: S310 -- our own address
            return str(answer.read().decode())
        return ""

    def csrf(path: str) -> str:
        token = re.search(r'name="csrf_token" value="([^"]+)"', send(path))
        return token[1] if token else ""

    for word in (MISTYPED, PASSWORD):
        send("log-in", {"name": "", "password": word, "csrf_token": csrf("log-in")})
    assert "Night ferry" in send("collection")
    send(f"settings/channels/{channel}/test", {"csrf_token": csrf("settings/channels")})
    for given in (token, token[:-3]):
        send("api/v1/watches", Authorization=f"Bearer {given}")
    send("calendar/not-the-key.ics")
    return [cookie.value or "" for cookie in jar]
