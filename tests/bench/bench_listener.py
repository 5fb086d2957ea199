"""Messages a second from broker to committed row, beside a subscriber that does nothing and one commit a message: printed.

`python -m pytest tests/bench/bench_listener.py -s` (files of this name are not collected otherwise).
"""

import resource
import threading
import time
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from paho.mqtt.client import Client, MQTTMessage, MQTTv5
from paho.mqtt.enums import CallbackAPIVersion
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties

from sensors import listener as listening
from sensors.follow import Follower
from sensors.kinds import Boolean
from sensors.listener import Listener
from sensors.rest import Setup
from tests.brokers import Broker, mosquitto, publish
from tests.sensors.replay import Child
from tests.sensors.sensing import EVER, payload
from tracker import clock
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import open_sensed

SENSORS, MESSAGES = 50, 20_000
DAY_S = 86_400.0


def tell(line: str) -> None:
    print(line)  # noqa: T201 (a table for people is all it is for)


def collection(folder: Path, count: int = SENSORS) -> list[str]:
    store = open_collection(folder, datetime.now(UTC))
    sensors = [
        AddSensor(
            name=f"t{number}", topic=f"t/{number}", expected_s=60, written="json", value_at="/going", time_at="/t"
        )
        for number in range(count)
    ]
    submit(store, sensors, owner(store, "page", datetime.now(UTC)), then=lambda *_: None)
    store.close()
    return [each.uid for each in sensors]


def messages(count: int) -> list[tuple[str, bytes]]:
    now_s = clock.now().timestamp()
    return [(f"t/{number % SENSORS}", payload(now_s - 3600 + number // SENSORS, 1.0)) for number in range(count)]


def bare(broker: Broker, sent: list[tuple[str, bytes]]) -> float:
    """Messages a second of a subscriber that acknowledges by hand and does nothing else."""
    client = Client(CallbackAPIVersion.VERSION2, client_id="bare", protocol=MQTTv5, manual_ack=True)
    ready, done, count = threading.Event(), threading.Event(), 0

    def on_message(client: Client, _data: object, message: MQTTMessage) -> None:
        nonlocal count
        client.ack(message.mid, message.qos)
        count += 1
        if count == len(sent):
            done.set()

    client.on_message, client.on_subscribe = on_message, lambda *_: ready.set()
    properties = Properties(PacketTypes.CONNECT)  # type: ignore[no-untyped-call]  # paho tells no types here
    properties.ReceiveMaximum = 4000
    client.connect("127.0.0.1", broker.port, properties=properties)
    client.subscribe("t/#", qos=1)
    client.loop_start()
    ready.wait(10)
    began = time.perf_counter()
    publish(broker.port, sent)
    done.wait(120)
    rate = count / (time.perf_counter() - began)
    client.disconnect()
    client.loop_stop()
    return rate


def kept(folder: Path, broker: Broker, sent: list[tuple[str, bytes]]) -> float:
    """Messages a second until the last of them is a committed row."""
    uids = collection(folder)
    listener = Listener(folder, broker.settings("5"))
    listener.start()
    while listener.state.state != "listening":
        time.sleep(0.01)
    with closing(open_sensed(folder)) as file:
        began = time.perf_counter()
        publish(broker.port, sent)
        while sum(heard.readings for heard in reading.heard(file.reading()).values()) < len(sent):
            time.sleep(0.005)
        took = time.perf_counter() - began
        assert len(reading.readings(file.reading(), uids[0], *EVER)) == len(sent) // SENSORS
    listener.stop()
    return len(sent) / took


@pytest.mark.bench
def test_messages_a_second(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sent = messages(MESSAGES)
    lines = [
        "",
        f"{MESSAGES} messages of {SENSORS} sensors, publisher and broker on the same machine, synchronous FULL",
    ]
    # Each in turn, twice: the better of two, since others use the machine.
    rates = {"bare": 0.0, "batches": 0.0}
    for turn in range(2):
        with mosquitto(tmp_path / f"bare{turn}", "max_queued_messages 0") as broker:
            rates["bare"] = max(rates["bare"], bare(broker, sent))
        with mosquitto(tmp_path / f"kept{turn}", "max_queued_messages 0") as broker:
            rates["batches"] = max(rates["batches"], kept(tmp_path / f"files{turn}", broker, sent))
    monkeypatch.setattr(listening, "BATCH", 1)
    with mosquitto(tmp_path / "one", "max_queued_messages 0") as broker:
        single = kept(tmp_path / "singly", broker, sent[: MESSAGES // 10])
    lines.append(f"  a bare subscriber {rates['bare']:8.0f} /s")
    lines.append(f"  kept, in batches  {rates['batches']:8.0f} /s   {rates['batches'] / rates['bare']:.2f} of it")
    lines.append(f"  a commit each     {single:8.0f} /s   {single / rates['bare']:.2f} of it")
    lines.append(
        f"  memory at most    {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB, of this whole test"
    )
    tell("\n".join(lines))


@pytest.mark.bench
def test_a_year_of_readings_a_minute_is_followed() -> None:
    follower = Follower(Setup(Boolean(), 60.0))
    readings = [(60.0 * minute, float(minute % 4000 < 2400)) for minute in range(525_600)]
    began, slowest, found = time.perf_counter(), 0.0, 0
    for start in range(0, len(readings), 100):
        one = time.perf_counter()
        follower.add(readings[start : start + 100])
        found += len(follower.settled())
        slowest = max(slowest, time.perf_counter() - one)
    took = time.perf_counter() - began
    tell(
        f"\na year of a reading a minute: {took:.1f} s in batches of 100, {1e6 * took / len(readings):.1f} µs a reading, slowest batch {1000 * slowest:.1f} ms, {found} spans and stops"
    )


@pytest.mark.bench
def test_a_thousand_sensors_of_a_message_every_ten_seconds(tmp_path: Path) -> None:
    uids = collection(tmp_path, 1_000)
    with mosquitto(tmp_path / "broker", "max_queued_messages 0") as broker:
        child = Child(tmp_path, broker.settings("5"))
        child.await_listening()
        before_s, began, lags = child.cpu_s(), time.monotonic(), []
        for second in range(30):
            now_s = clock.now().timestamp()
            publish(broker.port, [(f"t/{100 * (second % 10) + place}", payload(now_s, 1.0)) for place in range(100)])
            last = uids[100 * (second % 10) + 99]
            with closing(open_sensed(tmp_path)) as file:
                while not any(raw.at_s == now_s for raw in reading.readings(file.reading(), last, now_s, now_s)):
                    time.sleep(0.005)
            lags.append(clock.now().timestamp() - now_s)
            time.sleep(max(0.0, began + second + 1 - time.monotonic()))
        share = (child.cpu_s() - before_s) / (time.monotonic() - began)
        child.stop()
    tell(
        f"\n1,000 sensors, 100 messages a second: {100 * share:.0f} % of a core, stamp to committed row p95 {1000 * sorted(lags)[28]:.0f} ms"
    )
