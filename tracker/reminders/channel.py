"""The owner's one address as an Apprise channel: a webhook or a mail address, and nothing that touches this machine."""

from typing import Any
from urllib.parse import parse_qsl, urlsplit

from tracker.errors import BadInput
from tracker.reminders.witness import hush
from tracker.words import say

CONNECT_S = 5.0
READ_S = 15.0
KEY_FIELD = "key"
KEY_HEADER = "X-Going-Barrel-Key"
WEBHOOK = {"http": "json", "https": "jsons"}
MAIL = ("mailto", "mailtos")
# Others of Apprise read key files from this machine's disk, repeat a send by themselves, or lift the time limit.
MAIL_OPTIONS = frozenset({"to", "from", "name", "smtp", "mode", "user", "pass", "port", "reply"})


def open_channel(address: str, key: str) -> Any:
    """An Apprise channel for one message.

    The key travels in the JSON body of a webhook (a header may be dropped on the way) and in a header of a mail.

    Args:
        address: `http(s)://…`, `mailto(s)://…`.
        key: what tells a repeat.

    Raises:
        BadInput: the address can't be used. The sentence holds no part of it but the scheme.
    """
    hush()
    scheme = address.partition("://")[0].lower()
    if scheme in WEBHOOK:
        return _webhook(address, key)
    if scheme in MAIL:
        return _mail(address, key)
    raise BadInput(say("No reminders go by “{scheme}”.", scheme=scheme), field="remind_address", accepted=_accepted())


def _accepted() -> str:
    return say("Give a webhook (http:// or https://) or a mail address (mailto:// or mailtos://).")


def _unusable() -> BadInput:
    return BadInput(say("This address can't be used."), field="remind_address", accepted=_accepted())


def _asset() -> Any:
    from apprise import AppriseAsset  # noqa: PLC0415 -- 100 ms, needed only to send

    # A redirected POST becomes a GET, which answers well and delivers nothing.
    return AppriseAsset(app_id="Going Barrel", http_redirects=False, storage_mode="memory")


def _webhook(address: str, key: str) -> Any:
    from apprise import Apprise  # noqa: PLC0415 -- as above

    try:
        parts = urlsplit(address)
        host, port = parts.hostname or "", parts.port
    except ValueError as error:
        raise _unusable() from error
    fields = {
        "schema": WEBHOOK[parts.scheme],
        "host": f"[{host}]" if ":" in host else host,
        "port": port,
        "user": parts.username,
        "password": parts.password or "",
        "payload": {KEY_FIELD: key},
        "cto": CONNECT_S,
        "rto": READ_S,
    }
    channel: Any = Apprise.instantiate(fields, asset=_asset()) if host else None
    if channel is None:
        raise _unusable()
    # As the owner wrote it: Apprise would undo its escapes and keep a query for itself.
    channel.fullpath = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return channel


def _mail(address: str, key: str) -> Any:
    from apprise import Apprise  # noqa: PLC0415 -- as above

    options = {name for name, _ in parse_qsl(address.partition("?")[2], keep_blank_values=True)}
    if not options <= MAIL_OPTIONS:
        raise BadInput(
            say("This mail address has an option that is not taken."),
            field="remind_address",
            accepted=say("Known options: {known}.", known=", ".join(sorted(MAIL_OPTIONS))),
        )
    channel: Any = Apprise.instantiate(address, asset=_asset())
    if channel is None:
        raise _unusable()
    if len(channel.targets) != 1:
        # A failure at one of several would repeat the message to the others.
        raise BadInput(say("Reminders go to one mail address."), field="remind_address", accepted=_accepted())
    channel.headers[KEY_HEADER] = key
    channel.socket_connect_timeout = READ_S  # Apprise's mail has this one limit for every step
    return channel
