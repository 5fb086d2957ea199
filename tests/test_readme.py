"""Every command in README is run here, in its order, on a collection of its own."""

import os
import re
import shlex
import shutil
import socket
import subprocess
import sys
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from paho.mqtt.client import Client
from paho.mqtt.enums import CallbackAPIVersion, MQTTProtocolVersion

from sensors.brokerusers import SENSORS, users_of
from tests.brokers import Broker, publish, require_broker
from tests.readme_blocks import generated
from tests.serving import fetch, started

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text()
COMMANDS = [
    line
    for block in re.findall(r"^```sh\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    for line in block.splitlines()
    if line.strip() and not line.startswith("#")
]
SERVES = re.compile(r"\b(make (demo|run)|going (demo|serve))\b")
AT_OUR_BROKER = re.compile(r"^mosquitto_pub|^going sensor test .*--broker")
RUNS_OUR_OWN_TESTS = re.compile(r"\bmake (test|check|bench|wheels)\b")


@pytest.fixture
def env(tmp_path: Path) -> dict[str, str]:
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return {
        **os.environ,
        "PATH": path,
        "HOME": str(tmp_path),
        "XDG_DATA_HOME": str(tmp_path / "data"),
        "GOING_DATA": str(tmp_path / "own"),
        "TZ": "Europe/Lisbon",
    }


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _folder(command: str, home: Path) -> Path:
    return ROOT if shlex.split(command)[0].startswith("make") or " make " in command else home


def test_every_command_works_as_readme_has_it(subtests: pytest.Subtests, tmp_path: Path, env: dict[str, str]) -> None:
    for command in COMMANDS:
        with subtests.test(command):
            if command.startswith("going known"):
                _let_decline("Workshop spare", tmp_path, env)
            _run(command, tmp_path, env)


def _run(command: str, home: Path, env: dict[str, str]) -> None:
    if SERVES.search(command):
        _served(command, home, env)
        return
    if AT_OUR_BROKER.search(command):
        _at_our_broker(command, home, env)
        return
    _run_as_it_is(command, home, env)


def _run_as_it_is(command: str, home: Path, env: dict[str, str]) -> None:
    tried = f"{command} --dry-run" if RUNS_OUR_OWN_TESTS.search(command) else command
    done = subprocess.run(
        ["bash", "-c", tried], cwd=_folder(command, home), env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def _let_decline(nickname: str, home: Path, env: dict[str, str]) -> None:
    """Give a watch the past that the command speaks of: run-downs of 44 h after a service, of 36 h since last month."""
    now = datetime.now(UTC)
    rows = [("service", now - timedelta(days=700), "")]
    for days, hours in [*((690 - 9 * n, 44) for n in range(8)), *((60 - 5 * n, 36) for n in range(8))]:
        wound = now - timedelta(days=days)
        rows += [("wind", wound, ""), ("sighting", wound + timedelta(hours=hours - 0.1), "going")]
        rows += [("sighting", wound + timedelta(hours=hours), "stopped")]
    lines = [f"{nickname},{entry},{at.isoformat(timespec='seconds')},UTC,{seen}" for entry, at, seen in rows]
    (home / "declined.csv").write_text("\n".join(["watch,entry,at,zone,seen", *lines]) + "\n")
    _run("going import declined.csv --kind log", home, env)


def _served(command: str, home: Path, env: dict[str, str]) -> None:
    port = _free_port()
    asked = re.sub(r"(PORT=|--port )\d+", rf"\g<1>{port}", command)
    if asked == command:
        asked = f"{command} PORT={port}" if command.startswith("make") else f"{command} --port {port}"
    with started(["bash", "-c", f"exec {asked}"], folder=_folder(command, home), env=env) as address:
        assert address == f"http://127.0.0.1:{port}/"
        status, kind, _ = fetch(address)
        assert (status, kind) == (200, "text/html")


def _at_our_broker(command: str, home: Path, env: dict[str, str]) -> None:
    """Beside a server with its broker, to which a sensor sends now and then."""
    if shutil.which("mosquitto_pub") is None and os.environ.get("GOING_NEEDS_BROKER") != "1":
        pytest.skip("needs Debian's mosquitto-clients")
    port = _free_port()
    asked = command.replace("-p 1883", f"-p {port}").replace("--broker", f"--broker {port}")
    asked = re.sub(r"--seconds \d+", "--seconds 3", asked)
    stopping = threading.Event()
    sends = ["mosquitto_pub", "-p", str(port), "-u", SENSORS, "-t", "house/tray/3", "-m", '{"s": {"tick": true}}']
    with started(["going", "serve", "--port", "0", "--broker", str(port)], folder=home, env=env):
        password = users_of(Path(env["GOING_DATA"]))[SENSORS]

        def send() -> None:
            while not stopping.wait(0.5):
                subprocess.run([*sends, "-P", password], env=env, check=True)

        sender = threading.Thread(target=send)
        sender.start()
        try:
            _run_as_it_is(asked, home, env)
        finally:
            stopping.set()
            sender.join()


def test_readme_has_commands_to_run() -> None:
    assert len(COMMANDS) > 10


def test_what_readme_says_of_columns_is_what_the_code_has() -> None:
    assert generated(README) == README, "run: python tests/readme_blocks.py"


@pytest.mark.broker
def test_the_brokers_lines_keep_what_is_queued_over_a_kill_and_ask_for_a_password(tmp_path: Path) -> None:
    (lines,) = re.findall(r"^```conf\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    require_broker()
    passwords = tmp_path / "passwd"
    subprocess.run(["mosquitto_passwd", "-b", "-c", str(passwords), "going", "word"], check=True, capture_output=True)
    kept = lines.replace("/etc/mosquitto/passwd", str(passwords)).splitlines()
    broker = Broker(tmp_path, [line for line in kept if not line.startswith("listener")])
    broker.start()
    try:
        assert not _let_in(broker.port, "wrong")
        assert _let_in(broker.port, "word")
        publish(broker.port, [("house/tray", b"%d" % number) for number in range(200)], user="going", password="word")  # noqa: S106 -- invented
        # The line says: saved each second.
        threading.Event().wait(2.0)
        broker.kill()
        broker.start()
        assert len(_queued(broker.port, 200)) == 200
    finally:
        broker.stop()


def _client(port: int, password: str) -> tuple[Client, threading.Event, list[bytes]]:
    """A client of a lasting session that has subscribed, once it has been let in."""
    client = Client(
        CallbackAPIVersion.VERSION2, client_id="going", protocol=MQTTProtocolVersion.MQTTv311, clean_session=False
    )
    client.username_pw_set("going", password)
    answered, heard = threading.Event(), list[bytes]()
    client.on_message = lambda _client, _data, message: heard.append(bytes(message.payload))
    client.on_subscribe = lambda *_: answered.set()
    client.on_connect = lambda client, *_: client.subscribe("house/#", qos=1)
    client.connect("127.0.0.1", port)
    client.loop_start()
    return client, answered, heard


def _let_in(port: int, password: str) -> bool:
    client, answered, _ = _client(port, password)
    let_in = answered.wait(3.0)
    client.disconnect()
    client.loop_stop()
    return let_in


def _queued(port: int, count: int) -> set[bytes]:
    client, _, heard = _client(port, "word")
    for _ in range(200):
        if len(set(heard)) >= count:
            break
        threading.Event().wait(0.05)
    client.disconnect()
    client.loop_stop()
    return set(heard)
