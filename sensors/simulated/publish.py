"""Simulated messages to a real broker, each when its moment comes."""

import threading
from collections.abc import Iterable
from typing import TYPE_CHECKING

from sensors.brokersettings import BrokerSettings
from sensors.simulated.events import Event
from tracker import clock
from tracker.errors import Unavailable
from tracker.words import say

if TYPE_CHECKING:
    from paho.mqtt.client import Client
    from paho.mqtt.reasoncodes import ReasonCode

CONNECT_S = 10.0
AT_ONCE = 200
"""Of so many messages the broker must have taken the last before more are handed over."""


def publish(settings: BrokerSettings, events: Iterable[Event], stopping: threading.Event) -> int:
    """Send the messages until there are no more or `stopping` is set; those whose moment is past go out at once.

    Returns:
        How many went out.

    Raises:
        Unavailable: no broker lets us in.
    """
    from paho.mqtt.client import Client, MQTTv311  # noqa: PLC0415 -- only who simulates needs it
    from paho.mqtt.enums import CallbackAPIVersion  # noqa: PLC0415 -- as above

    client = Client(CallbackAPIVersion.VERSION2, protocol=MQTTv311)
    if settings.user:
        client.username_pw_set(settings.user, settings.password)
    let_in = threading.Event()

    def on_connect(_client: object, _data: object, _flags: object, reason: "ReasonCode", _more: object) -> None:
        if not reason.is_failure:
            let_in.set()

    client.on_connect = on_connect
    try:
        client.connect(settings.host, settings.port)
    except OSError as error:
        raise _unavailable(settings) from error
    client.loop_start()
    try:
        if not let_in.wait(CONNECT_S):
            raise _unavailable(settings)
        return _sent(client, events, stopping)
    finally:
        client.disconnect()
        client.loop_stop()


def _unavailable(settings: BrokerSettings) -> Unavailable:
    return Unavailable(say("No broker lets us in at {host}:{port}.", host=settings.host, port=settings.port))


def _sent(client: "Client", events: Iterable[Event], stopping: threading.Event) -> int:
    count, last = 0, None
    for event in events:
        wait_s = event.due_s - clock.now().timestamp()
        if stopping.wait(wait_s) if wait_s > 0.0 else stopping.is_set():
            break
        last = client.publish(event.topic, event.payload, qos=1, retain=event.retained)
        count += 1
        if count % AT_ONCE == 0:
            last.wait_for_publish(CONNECT_S)
    if last is not None:
        last.wait_for_publish(CONNECT_S)
    return count
