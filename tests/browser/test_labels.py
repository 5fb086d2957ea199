"""Labels as they come out of a printer: how many sheets, where every label lies, and what its code says."""

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from tests.browser.conftest import needs_poppler
from tests.web.rounds import give
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.labelgrids import GRIDS, PAPERS, Grid
from tracker.labels import QUIET, address_of, code, label
from tracker.store import register
from tracker.store.store import Store

BASE = "http://192.168.1.20:8321"
DPI = 254
MM = DPI / 25.4
"""Points of the picture a millimetre: ten."""
START = 2
NEAR_MM = 0.5
WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">')


@pytest.fixture
def printed(chromium: Browser, address: str, store: Store) -> Iterator[Page]:
    needs_poppler()
    long = "Regulator of the pilot station with a very long name"
    give(
        store,
        ChangeSettings(base_address=BASE),
        *(RegisterWatch(nickname=name) for name in [long, "Ida", *(f"Watch {n:02d}" for n in range(28))]),
    )
    context = chromium.new_context(base_url=address)
    yield context.new_page()
    context.close()


def test_sheets_come_out_whole_with_every_label_in_its_place(printed: Page, store: Store, tmp_path: Path) -> None:
    watches = sorted(register.watches(store.reading()), key=lambda watch: watch.nickname.casefold())
    for name, grid in GRIDS.items():
        printed.goto(f"/labels?grid={name}&start={START}")
        file = tmp_path / f"{name}.pdf"
        printed.pdf(path=file, prefer_css_page_size=True, print_background=True)
        said = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
        assert int(re.findall(r"Pages: +(\d+)", said)[0]) == -(-(len(watches) + START - 1) // grid.count), name
        size = [float(each) * 25.4 / 72 for each in re.findall(r"Page size: +([\d.]+) x ([\d.]+)", said)[0]]
        assert size == pytest.approx(PAPERS[grid.paper], abs=NEAR_MM)
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-l", "1", file, tmp_path / name], check=True)
        with Image.open(next(tmp_path.glob(f"{name}-*.pgm"))) as sheet:
            for n in (0, 1, grid.columns, min(len(watches), grid.count - START + 1) - 1):
                place = n + START - 1
                x, y = (
                    grid.left_mm + place % grid.columns * grid.across_mm,
                    grid.top_mm + place // grid.columns * grid.down_mm,
                )
                drawn = label(grid, x, y, watches[n], BASE)
                at = drawn.code_x + QUIET * drawn.module_mm, drawn.code_y + QUIET * drawn.module_mm
                rows = code(address_of(BASE, watches[n].uid))
                found = corner(sheet, at, len(rows) * drawn.module_mm)
                assert found == pytest.approx(at, abs=NEAR_MM), (name, n)
                assert read(sheet, found, drawn.module_mm, len(rows)) == rows, (name, n)
        check_words(file, grid)


def corner(sheet: Image.Image, at: tuple[float, float], side: float) -> tuple[float, float]:
    """Where the ink of the code begins that ought to lie at `at`, in millimetres, looked for two millimetres around it."""
    left, top = at[0] - 2, at[1] - 2
    box = [round(edge * MM) for edge in (left, top, at[0] + side / 2, at[1] + side / 2)]
    ink = sheet.crop((box[0], box[1], box[2], box[3])).point(lambda grey: 255 if grey < 128 else 0).getbbox()
    assert ink is not None
    return (box[0] + ink[0]) / MM, (box[1] + ink[1]) / MM


def read(sheet: Image.Image, at: tuple[float, float], module: float, count: int) -> list[bytes]:
    """The code as a camera sees it: the middle of every module, dark or light."""

    def dark(column: int, row: int) -> bool:
        where = round((at[0] + (column + 0.5) * module) * MM), round((at[1] + (row + 0.5) * module) * MM)
        grey = sheet.getpixel(where)
        return isinstance(grey, int | float) and grey < 128

    return [bytes(dark(column, row) for column in range(count)) for row in range(count)]


def check_words(file: Path, grid: Grid) -> None:
    """Every word, of a long name too, lies within one label."""
    told = subprocess.run(["pdftotext", "-bbox", "-l", "1", file, "-"], capture_output=True, text=True, check=True)
    words = [[float(edge) * 25.4 / 72 for edge in word] for word in WORD.findall(told.stdout)]
    assert len(words) >= 3 * min(30, grid.count - START + 1)
    for left, top, right, bottom in words:
        column, row = (
            int((left - grid.left_mm) // grid.across_mm),
            int(((top + bottom) / 2 - grid.top_mm) // grid.down_mm),
        )
        assert right <= grid.left_mm + column * grid.across_mm + grid.width_mm, (left, right)
        assert bottom <= grid.top_mm + row * grid.down_mm + grid.height_mm + NEAR_MM, (top, bottom)
