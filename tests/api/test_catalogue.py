"""The catalogue of what a program is told of a request that can't be answered, sentence by sentence; nothing is changed."""

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from typing import Any

import pytest

from tests.api.house import ENDED, HELPERS, LOOKS, NIGHT, OWNERS, WIND, WINDS, Program, dump, problem_of
from tracker.store.store import Store

ROOT = Path(__file__).parents[2]
PLACES = [
    *(ROOT / "tracker/api").glob("*.py"),
    *(ROOT / "tracker/web" / f"{name}.py" for name in ("api", "apianswer", "bearer", "giving")),
]
TOKENS = {"none": None, "owner": OWNERS, "winds": WINDS, "looks": LOOKS, "helper": HELPERS, "ended": ENDED}


def rows() -> list[list[str]]:
    lines = (ROOT / "tests/errors/requests.txt").read_text(encoding="utf-8").splitlines()
    return [line.split(" | ") for line in lines if line and not line.startswith("#")]


@pytest.mark.parametrize(("status", "token", "request_", "sentence"), rows(), ids=lambda each: each[:60])
def test_a_request_that_cannot_be_answered_says_why(
    store: Store, status: str, token: str, request_: str, sentence: str
) -> None:
    asked: dict[str, Any] = json.loads(request_.replace("@night", NIGHT).replace("@key", WIND))
    program, before = Program(store, TOKENS[token]), dump(store)
    method = "post" if "post" in asked else "get"
    told = {name: asked[name] for name in ("json", "data") if name in asked}
    answer = program.client.open(
        f"/api{asked[method]}", method=method, headers=program.headers | asked.get("headers", {}), **told
    )
    assert problem_of(answer, int(status))["detail"] == sentence
    assert dump(store) == before


def sayings(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "say" and isinstance(node.args[0], ast.Constant):
            yield str(node.args[0].value)


def test_every_sentence_of_the_api_stands_in_the_catalogue() -> None:
    told = [sentence for *_, sentence in rows()]
    for sentence in {each for path in PLACES for each in sayings(path)} - {" or "}:
        pattern = "".join(
            re.escape(text) + (".+" if name is not None else "") for text, name, _, _ in Formatter().parse(sentence)
        )
        assert any(re.search(pattern, each) for each in told), sentence
