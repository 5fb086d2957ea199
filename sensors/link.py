"""One connection to the broker, served by the thread that calls: no thread of its own, nothing acknowledged by itself."""

import select
import ssl
from collections.abc import Iterable
from typing import TYPE_CHECKING, Literal, NamedTuple

from sensors.brokersettings import BrokerSettings
from sensors.intake import Message
from sensors.obstacle import hung_up, obstacle, refusal
from tracker import clock
from tracker.words import say

if TYPE_CHECKING:
    from paho.mqtt.client import Client, ConnectFlags, MQTTMessage
    from paho.mqtt.reasoncodes import ReasonCode

Spoken = Literal["5", "3.1.1"]
KEEPALIVE_S = 30
CONNECT_S = 10.0
SESSION_EXPIRY_S = 48 * 3600
"""The broker keeps what it queued for us for two days: a stamp is believed for one only."""
RECEIVE_MAXIMUM = 4000
"""So many messages a broker of MQTT 5 may send before the first is acknowledged: twice the largest batch, and more."""
LISTENING, AWAY = "listening", "away"


class Lost(Exception):
    """There is no connection: `why`, as it is told; `unspoken` if the broker may speak the other protocol only."""

    def __init__(self, why: str, *, unspoken: bool = False) -> None:
        super().__init__(why)
        self.why = why
        self.unspoken = unspoken


class Came(NamedTuple):
    """A message as it came, and what acknowledges it; by QoS 0 nothing does."""

    message: Message
    mid: int
    qos: int


class Link:
    """A connection: `open` it, then `serve` it again and again; messages lie in `came` until they are taken."""

    def __init__(self, settings: BrokerSettings, spoken: Spoken) -> None:
        self.spoken = spoken
        self.session_present = False
        self.came: list[Came] = []
        self.refused_topics: list[str] = []
        self._settings = settings
        self._status = f"{settings.prefix}/listener"
        self._answer: tuple[bool, str] | None = None
        self._asked: dict[int, str] = {}
        self._client = self._made()

    def _made(self) -> "Client":
        from paho.mqtt.client import Client, MQTTv5, MQTTv311  # noqa: PLC0415 -- only the listener needs it
        from paho.mqtt.enums import CallbackAPIVersion  # noqa: PLC0415 -- as above

        five = self.spoken == "5"
        client = Client(
            CallbackAPIVersion.VERSION2,
            client_id=self._settings.client_id,
            clean_session=None if five else False,
            protocol=MQTTv5 if five else MQTTv311,
            manual_ack=True,
            reconnect_on_failure=False,
        )
        client.connect_timeout = CONNECT_S
        client.will_set(self._status, AWAY, qos=1, retain=True)
        if self._settings.user:
            client.username_pw_set(self._settings.user, self._settings.password)
        client.on_message = self._on_message
        client.on_connect = self._on_connect
        client.on_subscribe = self._on_subscribe
        return client

    def open(self) -> None:
        """Connect, and wait for the broker's answer.

        Raises:
            Lost: there is no connection; says why.
        """
        try:
            self._encrypt()
            self._connect()
        except (OSError, ValueError) as error:
            raise Lost(obstacle(error, self._settings)) from error
        until_s = clock.monotonic_s() + CONNECT_S
        while self._answer is None:
            if clock.monotonic_s() > until_s:
                raise Lost(say("the broker does not answer"), unspoken=True)
            try:
                self.serve(0.2, 1)
            except Lost as lost:
                if self._answer is None:
                    # Some brokers hang up on a protocol they do not know.
                    raise Lost(hung_up(self._settings), unspoken=True) from lost
        let_in, why = self._answer
        if not let_in:
            raise Lost(refusal(why), unspoken=why == "Unsupported protocol version")
        self._client.publish(self._status, LISTENING, qos=1, retain=True)

    def _encrypt(self) -> None:
        settings = self._settings
        if settings.encrypted:
            self._client.tls_set(
                ca_certs=str(settings.ca_file) if settings.ca_file else None,
                certfile=str(settings.cert_file) if settings.cert_file else None,
                keyfile=str(settings.key_file) if settings.key_file else None,
            )

    def _connect(self) -> None:
        from paho.mqtt.packettypes import PacketTypes  # noqa: PLC0415 -- as above
        from paho.mqtt.properties import Properties  # noqa: PLC0415 -- as above

        host, port = self._settings.host, self._settings.port
        if self.spoken == "3.1.1":
            self._client.connect(host, port, KEEPALIVE_S)
            return
        properties = Properties(PacketTypes.CONNECT)  # type: ignore[no-untyped-call]  # it has no types
        properties.SessionExpiryInterval = SESSION_EXPIRY_S
        properties.ReceiveMaximum = RECEIVE_MAXIMUM
        self._client.connect(host, port, KEEPALIVE_S, clean_start=False, properties=properties)

    def serve(self, timeout_s: float, room: int) -> None:
        """Wait for the broker, at most so long, and take what it sends, at most `room` messages.

        Raises:
            Lost: the connection is no more.
        """
        sock = self._client.socket()
        if sock is None:
            raise Lost(say("the broker has hung up"))
        # What TLS has decrypted already lies in no socket that could be waited for.
        waiting = isinstance(sock, ssl.SSLSocket) and sock.pending() > 0
        reads = [sock] if room > 0 else []
        writes = [sock] if self._client.want_write() else []
        readable, writable, _ = select.select(reads, writes, [], 0.0 if waiting else timeout_s)
        if readable or (waiting and room > 0):
            self._read(len(self.came) + room)
        if writable:
            self._client.loop_write()
        self._client.loop_misc()
        if self._client.socket() is None:
            raise Lost(say("the broker has hung up"))

    def _read(self, most: int) -> None:
        before = -1
        while before < len(self.came) < most:
            before = len(self.came)
            self._client.loop_read()

    def take(self) -> list[Came]:
        """What came since this was asked last."""
        taken, self.came = self.came, []
        return taken

    def subscribe(self, topic_filters: Iterable[str]) -> None:
        """Ask for these topics; those that the broker refuses come to stand in `refused_topics`."""
        from paho.mqtt.subscribeoptions import SubscribeOptions  # noqa: PLC0415 -- as above

        for each in topic_filters:
            # What the broker has retained tells something new only where we did not listen before.
            options = SubscribeOptions(qos=1, retainHandling=1) if self.spoken == "5" else None
            try:
                # Beside options paho takes no QoS, not even theirs.
                _, mid = self._client.subscribe(each, qos=0 if options else 1, options=options)
            except ValueError:
                self.refused_topics.append(each)
            else:
                self._asked[mid or -1] = each

    def await_answers(self) -> None:
        """Serve until the broker has answered for every topic asked for; what it sends meanwhile lies in `came`.

        Raises:
            Lost: the connection is no more.
        """
        until_s = clock.monotonic_s() + CONNECT_S
        while self._asked and clock.monotonic_s() < until_s:
            self.serve(0.2, 1)

    def unsubscribe(self, topic_filters: Iterable[str]) -> None:
        """Ask for these topics no more."""
        for each in topic_filters:
            self._client.unsubscribe(each)

    def acknowledge(self, came: Iterable[Came]) -> None:
        """Tell the broker that these need not be sent again."""
        for each in came:
            if each.qos:
                self._client.ack(each.mid, each.qos)

    def close(self, *, politely: bool) -> None:
        """Hang up; politely, our status is set first and the broker spared our last will."""
        try:
            if politely and self._client.socket() is not None:
                self._client.publish(self._status, AWAY, qos=1, retain=True)
                self._client.disconnect()
                self._drain()
        finally:
            sock = self._client.socket()
            if sock is not None:
                sock.close()

    def _drain(self) -> None:
        until_s = clock.monotonic_s() + 2.0
        while self._client.want_write() and clock.monotonic_s() < until_s:
            self._client.loop_write()

    def _on_connect(
        self, _client: "Client", _userdata: object, flags: "ConnectFlags", reason: "ReasonCode", _more: object
    ) -> None:
        self.session_present = flags.session_present
        self._answer = (not reason.is_failure, str(reason))

    def _on_subscribe(
        self, _client: "Client", _userdata: object, mid: int, reasons: "list[ReasonCode]", _more: object
    ) -> None:
        asked = self._asked.pop(mid, "")
        if asked and any(each.is_failure for each in reasons):
            self.refused_topics.append(asked)

    def _on_message(self, _client: "Client", _userdata: object, message: "MQTTMessage") -> None:
        try:
            topic = message.topic
        except UnicodeDecodeError:
            # MQTT forbids it; a broker that lets it pass must still be told that it came.
            topic = ""
        arrived_s = clock.now().timestamp()
        self.came.append(
            Came(Message(topic, bytes(message.payload), arrived_s, message.retain), message.mid, message.qos)
        )
