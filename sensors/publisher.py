"""Sending retained messages to the broker, by a connection of its own that comes back by itself."""

from contextlib import suppress
from typing import TYPE_CHECKING

from sensors.brokersettings import BrokerSettings

if TYPE_CHECKING:
    from paho.mqtt.client import Client

PATIENCE_S = 10.0


class Publisher:
    """One connection, made when something is first to be sent."""

    def __init__(self, settings: BrokerSettings) -> None:
        self._settings = settings
        self._client: Client | None = None

    def send(self, messages: dict[str, bytes]) -> bool:
        """Send these (payload by topic) to be retained; whether the broker took them all."""
        try:
            client = self._client or self._connected()
            sent = [client.publish(topic, payload, qos=1, retain=True) for topic, payload in messages.items()]
            for each in sent:
                each.wait_for_publish(PATIENCE_S)
            return all(each.is_published() for each in sent)
        except (OSError, ValueError, RuntimeError):
            self.close()
            return False

    def _connected(self) -> "Client":
        from paho.mqtt.client import Client, MQTTv311  # noqa: PLC0415 -- only who sends needs it
        from paho.mqtt.enums import CallbackAPIVersion  # noqa: PLC0415 -- as above

        settings = self._settings
        client = Client(CallbackAPIVersion.VERSION2, client_id=f"{settings.client_id}-states", protocol=MQTTv311)
        client.connect_timeout = PATIENCE_S
        if settings.user:
            client.username_pw_set(settings.user, settings.password)
        if settings.encrypted:
            ca, cert, key = (str(each) if each else None for each in settings.files)
            client.tls_set(ca, cert, key)
        client.connect(settings.host, settings.port)
        client.loop_start()
        self._client = client
        return client

    def close(self) -> None:
        """Take leave."""
        client, self._client = self._client, None
        if client is not None:
            with suppress(OSError, ValueError):
                client.disconnect()
            client.loop_stop()
