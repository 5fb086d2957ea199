"""Where the broker is, and how to be let in."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

Protocol = Literal["any", "5", "3.1.1"]
"""*any*: MQTT 5, and 3.1.1 where the broker knows no better."""


@dataclass(frozen=True, slots=True)
class BrokerSettings:
    """A broker's address and credentials.

    With `ca_file` (or `tls` alone, for authorities the system knows) the connection is encrypted and the broker's name
    checked; `cert_file` and `key_file` are the client's own certificate. `client_id` must stay the same: by it the broker
    knows what it has queued for us. The listener's retained status goes to `prefix`/listener.
    """

    host: str = "127.0.0.1"
    port: int = 1883
    user: str = ""
    # Never shown: a settings object may end up in a log.
    password: str = field(default="", repr=False)
    tls: bool = False
    ca_file: Path | None = None
    cert_file: Path | None = None
    key_file: Path | None = None
    protocol: Protocol = "any"
    client_id: str = "going-barrel"
    prefix: str = "going-barrel"

    @property
    def encrypted(self) -> bool:
        """Whether the connection is to be encrypted."""
        return self.tls or self.ca_file is not None or self.cert_file is not None

    @property
    def files(self) -> tuple[Path | None, Path | None, Path | None]:
        """The files of authorities, of our certificate and of its key."""
        return self.ca_file, self.cert_file, self.key_file
