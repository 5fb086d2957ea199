"""axe-core finds nothing to complain of on any page, by day and by night; nothing is wider than a narrow screen, untold or in motion.

A desk is looked at by `make soak`, a phone each time.
"""

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.conftest import PHONE, served
from tests.browser.everypage import every_page
from tests.browser.pagelook import narrow_faults, told_faults
from tests.thorough import THOROUGH
from tests.web.rounds import NOW
from tracker.store import register, sensors
from tracker.store.store import Store
from tracker.web.app import create_app

DESK = {"width": 1280, "height": 900}
SIZES = (PHONE, DESK) if THOROUGH else (PHONE,)
BARREL = "/barrel?drum_diameter_mm=11&arbor_diameter_mm=3.4&thickness_mm=0.115&height_mm=1.3&length_mm=350&modulus_gpa=205&hours_per_turn=6"
"""With sums to show."""
COLOURS: dict[str, Any] = {"runOnly": ["color-contrast"], "resultTypes": ["violations"]}


@pytest.fixture(scope="module")
def looker(chromium: Browser, example: Store) -> Iterator[Page]:
    with served(example) as address:
        page = chromium.new_page(base_url=address)
        yield page
        page.close()


def complaints(page: Page, path: str) -> list[str]:
    """What axe finds on a page: all its rules on a phone by day, those of colours on the other screens, too."""
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]  # a size
    page.goto(path)
    return narrow_faults(page, path) + told_faults(page, path) + of_shown(page, path)


def of_shown(page: Page, path: str) -> list[str]:
    """The same of what is shown now."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for size in SIZES:
            page.set_viewport_size(size)  # type: ignore[arg-type]  # a size
            whole = (scheme, size) == ("light", PHONE)
            found += _said(page, f"{path} {scheme} {size['width']}", None if whole else COLOURS)
    return found


def _said(page: Page, where: str, options: dict[str, Any] | None = None) -> list[str]:
    return [
        f"{where} {each['id']}: {node['html'][:120]} {node['failureSummary'][:200]}"
        for each in Axe().run(page, options=options).response["violations"]
        for node in each["nodes"]
    ]


def test_axe_finds_nothing_on_any_page(looker: Page, example: Store) -> None:
    db = example.reading()
    uids = [watch.uid for watch in register.every_watch(db)] + [sensor.uid for sensor in sensors.sensors(db)]
    pages = [*every_page(create_app(example, now=lambda: NOW), uids), BARREL]
    assert len(pages) > 25
    found = [each for path in pages for each in complaints(looker, path)]
    assert not found, "\n".join(found)


def test_nor_on_an_empty_collection(chromium: Browser, address: str, store: Store) -> None:
    page = chromium.new_page(base_url=address, viewport=PHONE)  # type: ignore[arg-type]  # a size
    found = []
    for path in every_page(create_app(store, now=lambda: NOW), []):
        page.goto(path)
        found += _said(page, path)
    page.close()
    assert not found, "\n".join(found)


def test_nor_where_something_was_typed_that_can_not_be(looker: Page, example: Store) -> None:
    uid = register.watches(example.reading())[0].uid
    found = complaints(looker, "/barrel?thickness_mm=thin&drum_diameter_mm=11")
    for path, field, wrong, button in (
        (f"/watch/{uid}/edit", "stated_reserve_h", "long", "Save"),
        ("/settings", "zone", "Nowhere", "Save"),
        (f"/watch/{uid}/log", "shown", "99:99", "Save"),
        ("/sensors/new", "expected_s", "often", "Save"),
    ):
        looker.goto(path)
        looker.locator(f"#{field}").first.fill(wrong)
        looker.get_by_role("button", name=button).first.click()
        looker.locator(f"#{field}-problem").first.wait_for()
        found += of_shown(looker, f"{path} typed wrong")
    assert not found, "\n".join(found)


def test_what_would_be_wrong_is_found(looker: Page) -> None:
    looker.goto("about:blank")  # without our policy, which would refuse these styles
    looker.set_content(
        "<!doctype html><style>@keyframes turn { to { opacity: 0 } }</style><main><p style='width: 500px; animation: turn 9s'>wide</p>"
        "<div class='picture' role='img' aria-label='a picture'></div><table><tbody><tr><td>of another</td></tr></tbody></table>"
        "<svg width='9' height='9'></svg><img src='data:,' alt=''><span class='want' style='padding: 9px'></span></main>"
        '<script type="application/json">{"data": [{"line": {"color": "red"}}, {"line": {"color": "blue"}}]}</script>'
    )
    looker.set_viewport_size(PHONE)  # type: ignore[arg-type]  # a size
    assert [each.partition(":")[0] for each in narrow_faults(looker, "here")] == ["here at 320"]
    found = [each.partition(":")[0] for each in told_faults(looker, "here")]
    assert found == ["here not told", "here not told", "here colour alone", "here drawn alike", "here moves"]
