"""Why a message can't be read: a closed list of reasons, each with its sentence."""

import json
from dataclasses import dataclass
from typing import Literal

from tracker.words import say

Why = Literal[
    "too long",
    "not UTF-8",
    "empty",
    "not JSON",
    "beyond JSON",
    "not there",
    "no word",
    "no direction",
    "no number",
    "no time",
    "no zone",
    "too far behind",
    "too far ahead",
    "no pack",
    "no record",
]
Refused = Literal["no sensor", "too late"]
"""Why a message that may be readable is not taken."""

SENTENCES: dict[Why | Refused, str] = {
    "too long": "The message is longer than 64 KiB.",
    "not UTF-8": "The message is not text in UTF-8.",
    "empty": "The message is empty.",
    "not JSON": "The message is not JSON.",
    "beyond JSON": "The message nests too deep, has a number too long, or a key twice in one object.",
    "not there": "There is nothing at {what} in the message.",
    "no word": "{what} is neither a word for going nor one for stopped.",
    "no direction": "{what} is no word for a direction.",
    "no number": "{what} is not a number.",
    "no time": "{what} is not a time: neither ISO 8601 nor seconds or milliseconds since 1970.",
    "no zone": "The time {what} names no time zone.",
    "too far behind": "The time {what} lies more than 24 hours before the message came.",
    "too far ahead": "The time {what} lies more than 2 minutes after the message came.",
    "no pack": "The message is not a SenML pack: {what}.",
    "no record": "The SenML pack has no record named {what}.",
    "no sensor": "No sensor is set up for this topic.",
    "too late": "The reading of {what} came more than 24 hours after a newer one.",
}
LONGEST_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Unread:
    """A message, or one record of it, that tells nothing: the reason, and the piece that is to blame."""

    why: Why | Refused
    what: str = ""

    @property
    def sentence(self) -> str:
        """The reason as a sentence; always text that can be printed and stored."""
        return say(SENTENCES[self.why], what=self.what)


class Unreadable(Exception):
    """Carries an Unread from where it is found to `payload.read`, which lets none of them out."""

    def __init__(self, why: Why, what: str = "") -> None:
        super().__init__(why)
        self.unread = Unread(why, what)


def shown(value: object) -> str:
    """A piece of a message as a person may read it: short and printable whatever it holds."""
    if isinstance(value, dict | list):
        # Never written out: what nests as deep as could be parsed may still be too deep for that.
        return say("an object") if isinstance(value, dict) else say("a list")
    text = value if isinstance(value, str) else json.dumps(value)
    short = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
    printable = "".join(sign if sign.isprintable() else "?" for sign in short)
    return f"“{printable}”" if isinstance(value, str) else printable
