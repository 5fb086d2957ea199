"""Draws the icons that phones want as PNG from the one drawing of ours: `python -m tests.browser.icons` writes them."""

from playwright.sync_api import Browser, sync_playwright

from tests.browser.conftest import CHROMIUM, FLAGS
from tracker.web.statics import FOLDER

SIZES = {"icon-192.png": 192, "icon-512.png": 512, "icon-whole.png": 512}
WHOLE = "icon-whole.png"
"""Without round corners and drawn smaller: a phone cuts it to a form of its own, and leaves a circle of four fifths
(W3C, Web Application Manifest, 1.12.1)."""
SAFE = 0.8


def drawn(browser: Browser, name: str) -> bytes:
    """One of them as it should be, from icon.svg."""
    size, drawing = SIZES[name], (FOLDER / "icon.svg").read_text()
    if name == WHOLE:
        away = 16 * (1 - SAFE)
        drawing = drawing.replace('rx="4" ', "").replace(
            "/><path", f'/><g transform="translate({away} {away}) scale({SAFE})"><path', 1
        )
        drawing = drawing.replace("</svg>", "</g></svg>")
    page = browser.new_page(viewport={"width": size, "height": size})
    page.set_content(f"<style>body{{margin:0}}svg{{display:block;width:{size}px}}</style>{drawing}")
    found = page.screenshot(omit_background=True)
    page.close()
    return found


def main() -> None:
    """Write them all."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        for name in SIZES:
            (FOLDER / name).write_bytes(drawn(browser, name))
        browser.close()


if __name__ == "__main__":
    main()
