"""What came of a send."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Answer:
    """How a channel took a message, and what was in the way.

    *sent*: it said so. *failed*: it surely did not get it, and may next time. *refused*: it will never take it.
    *unanswered*: it may have got it. `reason` is a sentence for people without any part of the address.
    """

    kind: Literal["sent", "failed", "refused", "unanswered"]
    reason: str = ""
