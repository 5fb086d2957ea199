"""A part of a service in one line: what it is and, for a spring, its dimensions before and after."""

import re
from dataclasses import dataclass

from tracker.core.barrel.line import Strip, Unread, strip_of

SPRINGS = re.compile(r"(?P<what>.*\S)\s*:\s*(?P<before>[\d.,][^>→:]*)?(?:[>→](?P<after>[^:]*))?")
CROSSED = re.compile(r"[×*]|[\d.,]\s*[xX]\s*[\d.,]")


@dataclass(frozen=True, slots=True)
class Part:
    """A part that was fitted, changed or looked at; `before` and `after` are the springs that were and are there."""

    what: str
    before: Strip | None = None
    after: Strip | None = None


class SpringNotRead(ValueError):
    """Dimensions in a part's line that are no spring: `line` is what was written there."""

    def __init__(self, line: str) -> None:
        super().__init__(line)
        self.line = line


class ThickerThanHigh(SpringNotRead):
    """The strip of a spring is higher than it is thick: the figures were given in another order."""


def part_of(line: str) -> Part:
    """Read `mainspring: 1.30 × 0.115 × 350 > 1.30 × 0.110 × 360`; either spring may be left out, and so may both.

    What follows a colon without any dimensions belongs to the name.

    Raises:
        SpringNotRead: there are dimensions, and they are no spring.
    """
    text = " ".join(line.split())
    found = SPRINGS.fullmatch(text)
    if found is None or not CROSSED.search(f"{found['before'] or ''} {found['after'] or ''}"):
        return Part(text)
    return Part(found["what"], spring_of(found["before"] or ""), spring_of(found["after"] or ""))


def spring_of(line: str) -> Strip | None:
    """Read `1.30 × 0.115 × 350`; an empty line is no spring.

    Raises:
        SpringNotRead: it is neither.
    """
    if not line.strip():
        return None
    try:
        return checked(strip_of(line))
    except Unread as error:
        raise SpringNotRead(" ".join(line.split())) from error


def checked(strip: Strip) -> Strip:
    """The strip itself, if there can be such a spring.

    Raises:
        SpringNotRead: a figure is nothing; or it is thicker than high.
    """
    figures = (strip.height_mm, strip.thickness_mm, strip.length_mm, strip.drum_diameter_mm or 1.0)
    if not all(0.0 < figure < 1e6 for figure in figures):  # noqa: PLR2004 -- a kilometre
        raise SpringNotRead(line_of_spring(strip))
    if strip.thickness_mm >= strip.height_mm:
        raise ThickerThanHigh(line_of_spring(strip))
    return strip


def line_of_spring(strip: Strip) -> str:
    """A spring as the trade writes it, in mm."""
    figures = [strip.height_mm, strip.thickness_mm, strip.length_mm]
    figures += [] if strip.drum_diameter_mm is None else [strip.drum_diameter_mm]
    return " × ".join(f"{figure:.10g}" for figure in figures)


def line_of(part: Part) -> str:
    """The part as `part_of` reads it."""
    if part.before is None and part.after is None:
        return part.what
    before = line_of_spring(part.before) if part.before else ""
    after = f" > {line_of_spring(part.after)}" if part.after else ""
    return f"{part.what}: {before}{after}".replace(":  >", ": >")
