"""Names for rows, given by whoever makes them."""

import hashlib
import re
import secrets
from datetime import datetime

from tracker import clock

PATTERN = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")


def new_uid(moment: datetime | None = None) -> str:
    """A UUID of version 7 (RFC 9562, section 5.7) as text: sorts by the millisecond it was made in."""
    milliseconds = int((moment or clock.now()).timestamp() * 1000)
    return _text((milliseconds << 80) | secrets.randbits(80), version=7)


def uid_of(*parts: str) -> str:
    """The same name for the same parts, for rows that come without one: a UUID of version 8 (RFC 9562, section 5.8)."""
    digest = hashlib.sha256("\x1f".join(parts).encode()).digest()
    return _text(int.from_bytes(digest[:16]), version=8)


def _text(bits: int, *, version: int) -> str:
    bits &= ~(0xF << 76) & ~(0x3 << 62)
    digits = f"{bits | (version << 76) | (0x2 << 62):032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))
