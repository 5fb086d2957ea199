"""What an eye, an ear or a narrow screen asks of any page, beside axe: asked of the page that is shown."""

from playwright.sync_api import Page

NARROW = {"width": 320, "height": 640}
"""1280 points at 400 %: nothing may need scrolling sideways (WCAG 2.1, 1.4.10)."""
ZOOMED = {"width": 640, "height": 450}
"""1280 points at 200 %."""
UNFOLDED = """() => document.querySelectorAll("details:not([open])").forEach(it => { it.open = true; it.dataset.unfolded = "" })"""
FOLDED = """() => document.querySelectorAll("[data-unfolded]").forEach(it => { it.open = false; delete it.dataset.unfolded })"""
WIDER = """() => {
  const room = window.innerWidth;
  if (document.scrollingElement.scrollWidth <= room) return [];
  return [...document.querySelectorAll("main *, header *")]
    .filter(it => it.getBoundingClientRect().right > room + 1).slice(0, 3).map(it => it.outerHTML.slice(0, 120));
}"""
UNTOLD = """() => [
  ...[...document.querySelectorAll(".picture:not(.little)")].filter(it => {
    let next = it.nextElementSibling;
    while (next && !next.matches("details.behind, .picture")) next = next.nextElementSibling;
    return !it.getAttribute("aria-label") || !next?.matches("details.behind") || !next.querySelector("table tbody tr");
  }),
  ...[...document.querySelectorAll(".picture.little")].filter(
    it => !it.getAttribute("aria-label") || !(it.closest("li") || it.parentElement).querySelector("p, td, dd")),
  ...[...document.querySelectorAll("svg, img")].filter(it => {
    const named = it.getAttribute("aria-label") || it.getAttribute("alt") || it.querySelector(":scope > title")?.textContent.trim();
    return !named && it.getAttribute("alt") !== "" && !it.closest("[aria-hidden=true]") &&
      !it.parentElement.closest("svg, [role=img]") && it.id !== "js-plotly-tester";
  }),
].map(it => it.outerHTML.slice(0, 160))"""
"""Pictures without a name, or without figures in words beside them."""
COLOUR_ALONE = """() => [...document.querySelectorAll(".want, .doubt, .problem, .wrong")]
  .filter(it => it.getClientRects().length && !it.textContent.trim()).map(it => it.outerHTML.slice(0, 160))"""
ALIKE_BUT_FOR_COLOUR = """() => [...document.querySelectorAll("script[type='application/json']")].flatMap(it => {
  const colours = new Map();
  for (const {type, mode, fill, marker = {}, line = {}, error_y: bar = {}} of JSON.parse(it.textContent).data ?? []) {
    if (fill || line.width === 0) continue;  // the forecast's ground goes on where the line that is now parts it
    const form = JSON.stringify([type, mode, marker.symbol, marker.size, marker.opacity, line.dash, line.width, bar.width]);
    colours.set(form, (colours.get(form) ?? new Set()).add(JSON.stringify([marker.color, line.color])));
  }
  return [...colours].filter(([, found]) => found.size > 1).map(([form, found]) => `${form} ${[...found]}`);
})"""
"""Marks or lines of one picture that nothing but their colour tells apart."""
MOVING = "() => document.getAnimations().filter(it => it.playState === 'running').map(it => it.animationName || 'a transition')"

LOOKS, LOOK_MS = 30, 100


def narrow_faults(page: Page, where: str) -> list[str]:
    """What stands out beyond a narrow screen, or at 200 %, with all that is folded unfolded; the page's own size is put back."""
    held, found = page.viewport_size, list[str]()
    page.evaluate(UNFOLDED)
    for size in (NARROW, ZOOMED):
        page.set_viewport_size(size)  # type: ignore[arg-type]  # a size
        found += [f"{where} at {size['width']}: {each}" for each in _still_wider(page)]
    page.evaluate(FOLDED)
    if held is not None:
        page.set_viewport_size(held)
    return found


def _still_wider(page: Page) -> list[str]:
    """A picture takes a moment to be drawn anew for another width."""
    for _ in range(LOOKS):
        found: list[str] = page.evaluate(WIDER)
        if not found:
            break
        page.wait_for_timeout(LOOK_MS)
    return found


def told_faults(page: Page, where: str) -> list[str]:
    """Pictures that are not told in words, colours that stand for a word, and what moves though it should not."""
    faults = {"not told": UNTOLD, "colour alone": COLOUR_ALONE, "drawn alike": ALIKE_BUT_FOR_COLOUR, "moves": MOVING}
    return [f"{where} {name}: {each}" for name, script in faults.items() for each in page.evaluate(script)]
