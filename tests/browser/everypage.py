"""Addresses of every page there is, so that a new one is walked, too."""

from collections.abc import Iterable, Iterator

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

FILES = {"files.show", "photographs.show", "portraits.show", "portraits.small"}
"""What is handed out as it was kept: no page."""


def every_page(app: Flask, uids: Iterable[str]) -> Iterator[str]:
    """The address of each page; see `every_answer`."""
    return (path for path, _ in every_answer(app, uids))


def every_answer(app: Flask, uids: Iterable[str]) -> Iterator[tuple[str, str]]:
    """The address of each page and what it holds; of a page about something, about the first of these uids that it knows (without any: none of these).

    Raises:
        AssertionError: a page knows none of them: the collection lacks what it is about.
    """
    browser, known = app.test_client(), [*uids]
    for rule in sorted(app.url_map.iter_rules(), key=str):
        skipped = rule.endpoint.startswith(
            ("api.", "install.")
        )  # they read no pages, and browsers install under https alone
        if "GET" not in (rule.methods or ()) or rule.arguments - {"uid"} or rule.endpoint in FILES or skipped:
            continue
        paths = [rule.rule.replace("<uid>", uid) for uid in known] if rule.arguments else [rule.rule]
        found, answer = next(_answers(browser, paths), ("", None))
        assert answer or not rule.arguments or not known, f"{rule} needs something to show"
        if answer is not None and answer.status_code == 200 and answer.mimetype == "text/html":
            yield found, answer.text


def _answers(browser: FlaskClient, paths: Iterable[str]) -> Iterator[tuple[str, TestResponse]]:
    asked = ((path, browser.get(path)) for path in paths)
    return (each for each in asked if each[1].status_code != 404)
