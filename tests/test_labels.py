"""What is drawn on a label, and that it has room there."""

import re

import pytest
import segno

from tracker.core.watch import Watch
from tracker.labelgrids import GRIDS
from tracker.labels import NAME_MM, QUIET, address_of, code, em, fitted, label, lines_of, path_of
from tracker.shortnames import in_two, short_name
from tracker.uids import uid_of

UID = uid_of("watch")
BASE = "https://watches.example:8321"
NAMES = (
    "Ida",
    "Night ferry",
    "Regulator of the pilot station with the very long name",
    "W" * 60,
    "時計" * 20,
    "a " * 60,
)
RUN = re.compile(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z")


def test_the_code_read_back_from_its_drawing_holds_the_address() -> None:
    """Against segno's own matrix: every dark module once, and four light ones around (ISO/IEC 18004)."""
    address = address_of(BASE, UID)
    assert address == f"{BASE}/w/{short_name(UID)}"
    path = path_of(code(address))
    assert RUN.sub("", path) == ""
    runs = [tuple(map(int, run)) for run in RUN.findall(path)]
    assert all(forth == back for _, _, forth, back in runs)
    drawn = [(x + n, y) for x, y, forth, _ in runs for n in range(forth)]
    expected = segno.make(address, error="m", micro=False).matrix
    assert sorted(drawn) == sorted(
        (x + QUIET, y + QUIET) for y, row in enumerate(expected) for x, dark in enumerate(row) if dark
    )


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("grid", GRIDS)
def test_code_name_and_six_characters_stay_inside_the_clear_edge(grid: str, name: str) -> None:
    sheet = GRIDS[grid]
    drawn = label(sheet, 10.0, 20.0, Watch(uid=UID, nickname=name), BASE)
    modules = len(code(address_of(BASE, UID)))
    dark = drawn.code_x + QUIET * drawn.module_mm, drawn.code_x + (QUIET + modules) * drawn.module_mm
    assert dark[0] >= 10 + sheet.clear_mm
    assert drawn.code_y + QUIET * drawn.module_mm >= 20 + sheet.clear_mm
    assert drawn.module_mm >= 0.4  # what a phone reads at a hand's breadth: common practice, no source
    for line in (*drawn.name, drawn.short):
        assert line.x >= dark[1] + QUIET * drawn.module_mm - 1e-9
        assert line.x + em(line.said) * line.size <= 10 + sheet.width_mm - sheet.clear_mm + 1e-9 or line is drawn.short
        assert 20 + sheet.clear_mm - 0.5 <= line.y - 0.8 * line.size
        assert line.y + 0.2 * line.size <= 20 + sheet.height_mm - sheet.clear_mm + 0.5
    assert drawn.short.said == in_two(short_name(UID))


def test_a_name_is_as_large_as_it_has_room_and_cut_only_at_the_smallest() -> None:
    assert fitted("Ida", 30, 30) == (NAME_MM[0], ["Ida"])
    size, lines = fitted("Night ferry", 12, 12)
    assert (size, lines) == (3.4, ["Night", "ferry"])
    size, lines = fitted("one two three four five six seven", 12, 6)
    assert (size, len(lines), lines[-1][-1]) == (NAME_MM[-1], 2, "…")


def test_lines_break_between_words_and_within_one_that_has_no_room() -> None:
    assert lines_of("Night ferry at anchor", 8) == ["Night ferry", "at anchor"]
    assert "".join(lines_of("W" * 9, 3)) == "W" * 9
    assert lines_of("", 3) == [""]
