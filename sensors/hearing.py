"""Listening around: which topics there are, for whoever does not know what a sensor sends. Nothing of it is kept."""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from sensors.brokersettings import BrokerSettings
from sensors.intake import Message
from sensors.obstacle import obstacle, refusal
from tracker.words import say

if TYPE_CHECKING:
    from paho.mqtt.client import Client, MQTTMessage

LASTS_S = 300.0
MOST_TOPICS = 2000
KEPT = 5
"""So many messages of each topic are kept, to be read by a set-up that is tried."""
CONNECT_S = 10.0


@dataclass(slots=True)
class Around:
    """A topic heard: how many messages since `first_s`, the newest ones with their arrival (seconds since 1970)."""

    topic: str
    first_s: float
    count: int = 0
    newest: deque[tuple[float, bytes]] = field(default_factory=lambda: deque(maxlen=KEPT))

    @property
    def per_min(self) -> float | None:
        """Messages a minute, from the first to the newest; None of a single one."""
        heard_s = self.newest[-1][0] - self.first_s if self.newest else 0.0
        return 60.0 * (self.count - 1) / heard_s if heard_s > 0 and self.count > 1 else None


class Hearing:
    """One client of its own that listens to everything under a prefix, at most five minutes, without a session."""

    def __init__(
        self,
        settings: BrokerSettings,
        prefix: str,
        now: Callable[[], datetime],
        each: Callable[[Message], None] | None = None,
    ) -> None:
        """`each` is given every message as it comes, in another thread."""
        self.prefix = prefix
        self._each = each
        self.why = ""
        self.more = False
        self._settings, self._now = settings, now
        self._topics: dict[str, Around] = {}
        self._lock = threading.Lock()
        self._client: Client | None = None
        self._until_s = now().timestamp() + LASTS_S

    def start(self) -> None:
        """Begin; what stands in the way comes to stand in `why`."""
        from paho.mqtt.client import Client, MQTTv311  # noqa: PLC0415 -- only who listens needs it
        from paho.mqtt.enums import CallbackAPIVersion  # noqa: PLC0415 -- as above

        settings = self._settings
        client = Client(CallbackAPIVersion.VERSION2, protocol=MQTTv311)
        client.connect_timeout = CONNECT_S
        if settings.user:
            client.username_pw_set(settings.user, settings.password)
        client.on_connect, client.on_message = self._on_connect, self._on_message
        try:
            if settings.encrypted:
                ca, cert, key = (str(each) if each else None for each in settings.files)
                client.tls_set(ca, cert, key)
            client.connect(settings.host, settings.port)
        except (OSError, ValueError) as error:
            self.why = obstacle(error, settings)
            return
        client.loop_start()
        self._client = client

    def stop(self) -> None:
        """End."""
        client, self._client = self._client, None
        if client is not None:
            client.disconnect()
            client.loop_stop()

    @property
    def left_s(self) -> float:
        """Seconds until it ends by itself; none once it has ended, or can hear nothing."""
        listens = self._client is not None and not self.why
        left = max(0.0, self._until_s - self._now().timestamp()) if listens else 0.0
        if left == 0.0:
            self.stop()
        return left

    def topics(self) -> list[Around]:
        """What was heard so far, by topic; what this program itself sends is left out."""
        own = f"{self._settings.prefix}/"
        with self._lock:
            every = [each for each in self._topics.values() if not each.topic.startswith(own)]
        return sorted(every, key=lambda each: each.topic)

    def _on_connect(self, client: "Client", _data: object, _flags: object, reason: object, _more: object) -> None:
        if getattr(reason, "is_failure", True):
            self.why = refusal(str(reason))
        else:
            try:
                client.subscribe(_filter(self.prefix), qos=0)
            except ValueError:
                # An exception here would end the thread.
                self.why = say("“{prefix}” can't begin a topic", prefix=self.prefix)

    def _on_message(self, _client: "Client", _data: object, message: "MQTTMessage") -> None:
        try:
            topic = message.topic
        except UnicodeDecodeError:
            # As above.
            return
        now_s = self._now().timestamp()
        if self._each is not None:
            self._each(Message(topic, bytes(message.payload), now_s, message.retain))
        with self._lock:
            found = self._topics.get(topic)
            if found is None:
                if len(self._topics) >= MOST_TOPICS:
                    self.more = True
                    return
                found = self._topics[topic] = Around(topic, now_s)
            found.count += 1
            found.newest.append((now_s, bytes(message.payload)))


def _filter(prefix: str) -> str:
    """All topics under a prefix; a broker's own, which begin with $, are asked for by name only."""
    wanted = prefix.strip().rstrip("/")
    return "#" if not wanted else wanted if wanted.endswith("#") else f"{wanted}/#"
