"""Every colour of the stylesheet stands out from what it stands on: WCAG 2.1, success criteria 1.4.3 and 1.4.11."""

import re
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest

import tracker.web

CSS = (Path(tracker.web.__file__).parent / "static" / "going.css").read_text()
WORDS = ("ink", "soft", "want", "doubt")
"""What text is written in."""
GROUNDS = ("paper", "night", "band", "fan", "doubt-band")
"""What text stands on; bands lie on paper."""
DRAWN = ("body", "past", "edge", "want", "doubt", "ink", "soft")
"""Lines, bars and the edges of fields, which have to be seen and not to be read."""
TEXT_LEAST, DRAWN_LEAST = 4.5, 3.0
Colour = tuple[float, float, float]


def _blocks() -> Iterator[tuple[str, dict[str, str]]]:
    for name, block in zip(("day", "night", "paper"), re.findall(r":root \{([^}]*)\}", CSS), strict=True):
        yield name, dict(re.findall(r"--([\w-]+): ([^;]+);", block))


BLOCKS = dict(_blocks())


def _colour(written: str, under: Colour = (1, 1, 1)) -> Colour:
    if written.startswith("#"):
        digits = written[1:] if len(written) > 4 else "".join(each * 2 for each in written[1:])
        return tuple(int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4))  # type: ignore[return-value]  # three of them
    *rgb, alpha = (float(each) for each in re.findall(r"[\d.]+", written))
    mixed = [each / 255 * alpha + below * (1 - alpha) for each, below in zip(rgb, under, strict=True)]
    return tuple(mixed)  # type: ignore[return-value]  # as above


def _luminance(colour: Colour) -> float:
    linear = [each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: Colour, other: Colour) -> float:
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _pair(block: str, over: str, under: str) -> float:
    tokens = BLOCKS[block]
    return _contrast(_colour(tokens[over]), _colour(tokens[under], _colour(tokens["paper"])))


def test_black_on_white_is_twenty_one_to_one() -> None:
    assert _contrast((0, 0, 0), (1, 1, 1)) == pytest.approx(21.0)
    assert _contrast(_colour("#777777"), (1, 1, 1)) == pytest.approx(4.48, abs=0.01)  # the known grey that just fails


@pytest.mark.parametrize("block", BLOCKS)
def test_all_text_can_be_read_on_all_it_stands_on(block: str) -> None:
    weak = {pair: _pair(block, *pair) for pair in product(WORDS, GROUNDS) if _pair(block, *pair) < TEXT_LEAST}
    assert weak == {}


@pytest.mark.parametrize("block", BLOCKS)
def test_what_is_drawn_can_be_seen_on_paper(block: str) -> None:
    weak = {name: _pair(block, name, "paper") for name in DRAWN if _pair(block, name, "paper") < DRAWN_LEAST}
    assert weak == {}


@pytest.mark.parametrize("block", BLOCKS)
def test_what_stands_on_a_bar_or_a_filled_button_can_be_read(block: str) -> None:
    assert all(_pair(block, "paper", under) >= TEXT_LEAST for under in ("ink", "body", "want", "doubt"))


def test_no_colour_is_named_outside_the_tokens() -> None:
    rules = re.sub(r":root \{[^}]*\}", "", CSS)
    assert re.findall(r":[^;{}]*(#[0-9a-f]{3,6}\b|rgba?\()", rules) == []
