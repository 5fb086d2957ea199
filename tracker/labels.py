"""What stands on a label: the code that opens the watch's page, its name, its six characters. All lengths are millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.core.watch import Watch
from tracker.labelgrids import Grid
from tracker.shortnames import in_two, short_name

QUIET = 4
"""Modules left white around a code (ISO/IEC 18004, 9.1)."""
MOST_CODE_MM = 27.0
MOST_OF_WIDTH = 0.5
"""Of a label, for the code; the rest is for the name."""
NAME_MM = (4.6, 4.0, 3.4, 3.0, 2.6, 2.2)
"""Sizes of letters to try, the largest first; 2.2 mm is the small print of a newspaper."""
SHORT_MM = 3.0
LEADING = 1.22

_NARROW, _WIDE = frozenset("iljftrI.,:;'’|!()[] "), frozenset("mwMW@%—…")
_EAST = 0x2E80
"""From here on letters are as wide as they are high."""


@dataclass(frozen=True, slots=True)
class Text:
    """One line: where its base begins, how high its letters are, what it says."""

    x: float
    y: float
    size: float
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label as it is drawn: its corner, the code as a path of modules with its scale, its lines."""

    x: float
    y: float
    code_x: float
    code_y: float
    module_mm: float
    path: str
    name: tuple[Text, ...]
    short: Text


def address_of(base_address: str, uid: str) -> str:
    """Where the label of this watch leads."""
    return f"{base_address}/w/{short_name(uid)}"


def label(grid: Grid, x: float, y: float, watch: Watch, base_address: str) -> Label:
    """The label of this watch with its upper left corner at `x`, `y`."""
    rows = code(address_of(base_address, watch.uid))
    high = grid.height_mm - 2 * grid.clear_mm
    side = min(high, MOST_OF_WIDTH * grid.width_mm, MOST_CODE_MM)
    # The white around the code may reach into what is left clear anyway.
    code_x, code_y = x + grid.clear_mm / 2, y + (grid.height_mm - side) / 2
    text_x = code_x + side
    size, lines = fitted(watch.nickname, x + grid.width_mm - grid.clear_mm - text_x, high - SHORT_MM * LEADING)
    block = (len(lines) * size + SHORT_MM) * LEADING
    top = y + (grid.height_mm - block) / 2
    return Label(
        x=x,
        y=y,
        code_x=code_x,
        code_y=code_y,
        module_mm=side / (len(rows) + 2 * QUIET),
        path=path_of(rows),
        name=tuple(Text(text_x, top + size * (LEADING * n + 0.95), size, said) for n, said in enumerate(lines)),
        short=Text(text_x, top + block - 0.25 * SHORT_MM, SHORT_MM, in_two(short_name(watch.uid))),
    )


def code(address: str) -> list[bytes]:
    """The QR code of an address (ISO/IEC 18004, level M: it can be read with 15 % of it hidden), row by row, 1 for dark."""
    import segno  # noqa: PLC0415 -- only for labels

    return [bytes(row) for row in segno.make(address, error="m", micro=False).matrix]


def path_of(rows: Sequence[bytes]) -> str:
    """The dark modules as an SVG path, one run of each row after the other, inside the white around them."""
    runs = list[str]()
    for y, row in enumerate(rows, QUIET):
        x = 0
        while x < len(row):
            start = x
            while x < len(row) and row[x] == row[start]:
                x += 1
            if row[start]:
                runs.append(f"M{start + QUIET} {y}h{x - start}v1h{start - x}z")
    return "".join(runs)


def fitted(name: str, width: float, height: float) -> tuple[float, list[str]]:
    """The size of letters in which the name has room, and its lines; at the smallest size it may break a word or be cut."""
    longest = max((em(word) for word in name.split()), default=0.0)
    for size in NAME_MM:
        lines = lines_of(name, width / size)
        if len(lines) * size * LEADING <= height and longest * size <= width:
            return size, lines
    size = NAME_MM[-1]
    lines, most = lines_of(name, width / size), max(1, int(height / size / LEADING))
    return size, lines if len(lines) <= most else [*lines[: most - 1], _cut(lines[most - 1], width / size)]


def lines_of(name: str, width_em: float) -> list[str]:
    """The name in lines no wider than this in ems, broken between words, and within a word that has no room."""
    lines = [""]
    for word in name.split():
        joined = f"{lines[-1]} {word}".strip()
        if em(joined) <= width_em:
            lines[-1] = joined
            continue
        lines += [word] if lines[-1] else []
        lines[-1] = word
        while em(lines[-1]) > width_em and len(lines[-1]) > 1:
            room = next(n for n in range(len(lines[-1]) - 1, 0, -1) if n == 1 or em(lines[-1][:n]) <= width_em)
            lines[-1:] = [lines[-1][:room], lines[-1][room:]]
    return lines


def _cut(line: str, width_em: float) -> str:
    while line and em(f"{line}…") > width_em:
        line = line[:-1]
    return f"{line}…"


def em(text: str) -> float:
    """How wide this is in ems at most, in the bold letters of any common sans-serif face; nobody knows which will be used."""
    return sum(_em(letter) for letter in text)


def _em(letter: str) -> float:
    if ord(letter) >= _EAST or letter in _WIDE:
        return 1.1
    if letter in _NARROW:
        return 0.48
    return 0.85 if letter.isupper() else 0.72
