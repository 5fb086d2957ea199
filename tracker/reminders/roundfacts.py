"""What the digest of a round is said from: the watches to wind there, and what has become of each since; never prose."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tracker.store.moments import from_text, from_text_or_none, to_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A watch to be wound in a round.

    `wound` names the winding it ran on when it was named (empty: none known), made at `wound_at`; `wind_by` is None
    where it has stopped or nothing is known. `at_hand`: within reach without going anywhere.
    """

    watch_uid: str
    nickname: str
    at_hand: bool
    wound: str = ""
    wound_at: datetime | None = None
    wind_by: datetime | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "watch_uid": self.watch_uid,
            "nickname": self.nickname,
            "at_hand": self.at_hand,
            "wound": self.wound,
            "wound_at_utc": self.wound_at and to_text(self.wound_at),
            "wind_by_utc": self.wind_by and to_text(self.wind_by),
        }

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "Named":
        """Read back what `to_dict` gave."""
        return cls(
            watch_uid=stored["watch_uid"],
            nickname=stored["nickname"],
            at_hand=stored["at_hand"],
            wound=stored["wound"],
            wound_at=from_text_or_none(stored["wound_at_utc"]),
            wind_by=from_text_or_none(stored["wind_by_utc"]),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundFacts:
    """A round and the watches named for it; of these `wound` (uids) have been wound since, `gone` are no longer asked for."""

    at: datetime
    named: tuple[Named, ...]
    wound: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()

    @property
    def open(self) -> tuple[Named, ...]:
        """Those still to be wound."""
        return tuple(each for each in self.named if each.watch_uid not in {*self.wound, *self.gone})

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        named = [each.to_dict() for each in self.named]
        return {"at_utc": to_text(self.at), "named": named, "wound": list(self.wound), "gone": list(self.gone)}

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "RoundFacts":
        """Read back what `to_dict` gave."""
        return cls(
            at=from_text(stored["at_utc"]),
            named=tuple(Named.from_dict(each) for each in stored["named"]),
            wound=tuple(stored["wound"]),
            gone=tuple(stored["gone"]),
        )
