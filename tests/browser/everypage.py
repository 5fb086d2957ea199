"""Addresses of every page there is, so that a new one is walked, too."""

from collections.abc import Iterable, Iterator

from flask import Flask
from flask.testing import FlaskClient

FILES = {"files.show", "photographs.show", "portraits.show", "portraits.small"}
"""What is handed out as it was kept: no page."""


def every_page(app: Flask, uids: Iterable[str]) -> Iterator[str]:
    """The address of each page; of a page about something, about the first of these uids that it knows (without any: none of these).

    Raises:
        AssertionError: a page knows none of them: the collection lacks what it is about.
    """
    browser, known = app.test_client(), [*uids]
    for rule in sorted(app.url_map.iter_rules(), key=str):
        programs = rule.endpoint.startswith("api.")  # they read no pages
        if "GET" not in (rule.methods or ()) or rule.arguments - {"uid"} or rule.endpoint in FILES or programs:
            continue
        paths = [rule.rule.replace("<uid>", uid) for uid in known] if rule.arguments else [rule.rule]
        found = next((path for path in paths if _answers(browser, path)), None)
        assert found is not None or not known, f"{rule} needs something to show"
        if found is not None and _is_page(browser, found):
            yield found


def _answers(browser: FlaskClient, path: str) -> bool:
    return browser.get(path).status_code != 404


def _is_page(browser: FlaskClient, path: str) -> bool:
    answer = browser.get(path)
    return answer.status_code == 200 and answer.mimetype == "text/html"
