"""Figures that can be read in two ways: one and a bit, or over a thousand."""

import re
from typing import Literal

Mark = Literal["point", "comma"]
_PARTED = {
    "point": re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d.,])"),
    "comma": re.compile(r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,])"),
}


def two_ways(text: str, decimal: Mark) -> str | None:
    """The first figure of the text whose one mark, not the decimal mark in use, may part its thousands; None if none does.

    `1,234` beside a decimal point; not `0,234` and not `1,23`, which have no thousands.
    """
    found = _PARTED[decimal].search(text)
    return None if found is None else found[0]
