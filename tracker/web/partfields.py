"""The parts of a service in a form: three fields a part, numbered from 1."""

from collections.abc import Mapping, Sequence

from tracker.commands.parts import MOST_PARTS
from tracker.core.part import Part, line_of_spring
from tracker.web.forms import Form

NAMES = ("what", "before", "after")
FEWEST, SPARE = 3, 2
"""So many rows an empty form has, and so many empty ones follow those that are filled in."""


def field(name: str, number: int) -> str:
    """What the form calls one of the fields of a part."""
    return f"part_{name}-{number}"


def fresh(parts: Sequence[Part]) -> dict[str, object]:
    """The fields of these parts."""
    return {
        field(name, number): value
        for number, part in enumerate(parts, start=1)
        for name, value in (
            ("what", part.what),
            ("before", line_of_spring(part.before) if part.before else ""),
            ("after", line_of_spring(part.after) if part.after else ""),
        )
    }


def given(form: Form) -> list[dict[str, str]]:
    """The parts of a form as they were typed, in their rows; those left empty are none."""
    return [{name: form.get(field(name, number), "") for name in NAMES} for number in range(1, MOST_PARTS + 1)]


def rows(form: Mapping[str, str]) -> list[int]:
    """The numbers of the rows that the page shows."""
    filled = [n for n in range(1, MOST_PARTS + 1) if any(form.get(field(name, n), "").strip() for name in NAMES)]
    shown = max(FEWEST, max(filled, default=0) + SPARE)
    return list(range(1, min(shown, MOST_PARTS) + 1))
