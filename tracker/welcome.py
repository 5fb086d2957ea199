"""What the program says where it was started: its addresses, and for a phone the same to point a camera at."""

import io
import sys
from collections.abc import Callable

from tracker.reach import Reach, is_loopback
from tracker.words import say


def tell(reach: Reach, port: int, out: Callable[[str], None]) -> None:
    """Say where the pages are, line by line."""
    host = reach.hosts[0]
    out(say("Going Barrel is at http://{host}:{port}/ – stop it with Ctrl+C.", host=_in_address(host), port=port))
    for each in reach.hosts:
        if not is_loopback(each):
            address = f"http://{_in_address(each)}:{port}/"
            out(say("From phones and machines at home: {address}", address=address))
            out(say("It is plain http: whoever can listen to this network can read along. README tells of https."))
            if sys.stdout.isatty():
                out(drawn(address))
    if reach.trusted_proxy:
        out(say("By the proxy at {proxy}; it sees to https.", proxy=reach.trusted_proxy))


def drawn(address: str) -> str:
    """The address as a QR code of characters."""
    import segno  # noqa: PLC0415 -- only for people at a terminal

    text = io.StringIO()
    segno.make(address, micro=False).terminal(text, compact=True)
    return text.getvalue()


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host else host
