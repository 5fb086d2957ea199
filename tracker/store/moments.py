"""Moments as the tables keep them: ISO 8601 text in UTC, to the second, ending in Z."""

from datetime import UTC, datetime


def to_text(moment: datetime) -> str:
    """An aware moment as text that sorts by time."""
    return f"{moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='seconds')}Z"


def from_text(text: str) -> datetime:
    """The moment back, aware, in UTC."""
    return datetime.fromisoformat(text)


def from_text_or_none(text: str | None) -> datetime | None:
    """The moment back, where there is one."""
    return None if text is None else from_text(text)
