import os
import re
import socket
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from urllib.parse import urljoin

import pytest

from tests.network import require_network
from tests.serving import fetch, started
from tracker import serve
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.errors import BadInput
from tracker.reach import Reach
from tracker.serve import check_loopback, refuse_open_door, serve_example
from tracker.store.register import watches

GOING = [sys.executable, "-m", "tracker"]
ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1", "127.0.0.2"])
def test_this_machines_own_address_is_served(host: str) -> None:
    check_loopback(host)


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.20", "::", "going.example"])  # noqa: S104 -- refused is the point
def test_any_other_address_is_refused_with_a_sentence(host: str) -> None:
    with pytest.raises(BadInput) as refused:
        check_loopback(host)
    assert refused.value.sentence == (
        f"{host} can be reached from other machines, and the example asks for no password. Only 127.0.0.1 is served."
    )


def test_without_a_password_nothing_is_served_to_other_machines(tmp_path: Path, now: datetime) -> None:
    store = open_collection(tmp_path, now)
    refuse_open_door(store, Reach())
    with pytest.raises(BadInput) as refused:
        refuse_open_door(store, Reach(("127.0.0.1", "192.168.1.20"), logs_in=True))
    assert refused.value.sentence == (
        "These pages could be reached from other machines, and no owner has a password yet. Set one: going password"
    )
    store.close()


@pytest.mark.parametrize("words", [["--home"], ["--host", "127.0.0.1"]], ids=["home", "host"])
def test_a_start_for_others_without_terminal_and_password_is_refused(tmp_path: Path, words: list[str]) -> None:
    if "--home" in words:
        require_network()
    (tmp_path / "going.toml").write_text('[web]\ntrusted_proxy = "127.0.0.1"\n')
    command = [*GOING, "serve", "--port", "0", *words]
    done = subprocess.run(
        command, env=_env(tmp_path), capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert "no owner has a password yet. Set one: going password" in done.stderr


@pytest.fixture
def no_server(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """The example made ready as for serving, without serving it."""
    monkeypatch.setattr(serve, "_run", lambda store, *_: store.close())
    monkeypatch.setattr("tracker.example.fill.fill", lambda *_, **__: None)
    return partial(serve_example, host="127.0.0.1", port=0)


def _own(folder: Path, now: datetime) -> None:
    store = open_collection(folder, now)
    submit(store, [RegisterWatch(nickname="Mine")], owner(store, "page", now))
    store.close()


def test_the_example_never_touches_a_collection_that_is_not_its_own(
    tmp_path: Path, now: datetime, no_server: Callable[..., None]
) -> None:
    _own(tmp_path, now)
    for reset in (False, True):
        with pytest.raises(BadInput, match="holds a collection that is not the example; it was left alone"):
            no_server(tmp_path, reset=reset)
    assert (tmp_path / "going.db").exists()


def test_a_second_start_keeps_what_was_entered_and_a_reset_does_not(
    tmp_path: Path, now: datetime, no_server: Callable[..., None]
) -> None:
    no_server(tmp_path, reset=False)
    _own(tmp_path, now)
    no_server(tmp_path, reset=False)
    assert _nicknames(tmp_path, now) == ["Mine"]
    no_server(tmp_path, reset=True)
    assert _nicknames(tmp_path, now) == []


def _nicknames(folder: Path, now: datetime) -> list[str]:

    store = open_collection(folder, now)
    try:
        return [watch.nickname for watch in watches(store.reading())]
    finally:
        store.close()


def _env(folder: Path) -> dict[str, str]:
    return {**os.environ, "GOING_DATA": str(folder), "PYTHONPATH": str(ROOT)}


def test_it_serves_its_page_its_health_and_ends_at_once_when_told(tmp_path: Path) -> None:
    with started([*GOING, "serve", "--port", "0"], folder=tmp_path, env=_env(tmp_path)) as address:
        assert fetch(address)[:2] == (200, "text/html")
        assert re.fullmatch(
            r'\{"last_bell":(null|"\S+Z"),"last_message":null,"now":"\S+Z"\}\s*', fetch(urljoin(address, "healthz"))[2]
        )


def test_a_taken_port_is_one_sentence(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            [*GOING, "serve", "--port", str(port)], env=_env(tmp_path), capture_output=True, text=True, check=False
        )
    assert done.returncode == 5
    assert done.stderr == (
        f"going: Port {port} is taken by another program. Choose another: PORT={port + 1} or --port {port + 1}.\n"
    )
