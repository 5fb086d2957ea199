"""What a phone fetches besides the Round page itself: little, and no script of pictures."""

import re

from flask import Flask

from tests.web.rounds import NOW, register
from tracker.store.store import Store
from tracker.web.app import create_app

MOST_BYTES = 60_000


def fetched(app: Flask, path: str) -> dict[str, int]:
    """Each style, script and icon that a page names, or that one of those names, with the bytes it takes on the wire."""
    browser, found, asked = app.test_client(), dict[str, int](), [path]
    while asked:
        answer = browser.get(asked.pop(), headers={"Accept-Encoding": "gzip"})
        text = browser.get(answer.request.path).text if (answer.mimetype or "").startswith("text/") else ""
        imported = re.findall(r'from "\./([\w.]+)"', text)
        folder = answer.request.path.rpartition("/")[0]
        for address in [
            *re.findall(r'(?:src|href)="(/static/[^"]+)"', text),
            *(f"{folder}/{name}" for name in imported),
        ]:
            if address not in found:
                found[address] = len(browser.get(address, headers={"Accept-Encoding": "gzip"}).data)
                asked.append(address)
    return found


def test_what_the_round_page_fetches_is_little_and_holds_no_script_of_pictures(store: Store) -> None:
    register(store, "Night ferry", 20.0)
    found = fetched(create_app(store, now=lambda: NOW), "/")
    assert any(address.endswith("going.css") for address in found)
    assert any(address.endswith(".js") for address in found)
    assert not any("plotly" in address for address in found)
    assert sum(found.values()) < MOST_BYTES, found
