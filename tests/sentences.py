"""Every sentence that can be said, found in the sources: what a translation has to translate.

`python -m tests.sentences de` writes them into the file of that language, or adds those that have come since; what is
translated stays, what is no longer said goes, a new sentence is left empty.
"""

import ast
import json
import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from jinja2 import Environment, nodes

from tracker import languages

ROOT = Path(__file__).parents[1]
PACKAGES = ("tracker", "sensors")
NO_SENTENCE = re.compile(r"[^a-z]*|-.*|[^ ]*_[^ ]*|[a-z.]+:[a-z]+|tracker\..*|[<./%].*", re.DOTALL)
LIKE_ONE = re.compile(r"[A-Z]|.* ", re.DOTALL)


def sentences() -> list[str]:
    """Every one, in the order of the alphabet."""
    found = {each for path in _modules() for each in _of_module(path)}
    found |= {each for path in (ROOT / "templates").glob("*.html") for each in _of_template(path)}
    return sorted(found)


def write(code: str) -> Path:
    """Bring the file of a language up to date; one that is not there begins with its code for its name."""
    path = languages.FOLDER / f"{code}.json"
    held: dict[str, Any] = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {"name": code}
    translated = held.get("sentences", {})
    held["sentences"] = {each: translated.get(each, "") for each in sentences()}
    path.write_text(json.dumps(held, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    return path


def _modules() -> Iterator[Path]:
    for package in PACKAGES:
        yield from sorted((ROOT / package).glob("**/*.py"))


def _of_module(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    asked = [node.args[0] for node in ast.walk(tree) if isinstance(node, ast.Call) and _says(node)]
    for each in asked:
        yield from _texts(each) if isinstance(each, ast.Constant) else _likely(_texts(each))
    # What is said by way of a name stands in a table, of this module or of another, or was handed on within this one.
    tables = [node for node in tree.body if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None]
    by_name = any(isinstance(node, ast.Name) for each in asked for node in ast.walk(each))
    if by_name:
        yield from (text for text in _likely(_texts(tree)) if LIKE_ONE.match(text))
    for table in tables:
        if by_name or _is_public(table):
            yield from _likely(_values(table.value))
        if isinstance(table.value, ast.Subscript) and ast.unparse(table.value.value) == "Literal":
            yield from _likely(_texts(table.value))


def _says(call: ast.Call) -> bool:
    return bool(call.args) and ast.unparse(call.func).rpartition(".")[2] == "say"


def _texts(tree: ast.AST) -> Iterator[str]:
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.value


def _is_public(table: ast.Assign | ast.AnnAssign) -> bool:
    target = table.targets[0] if isinstance(table, ast.Assign) else table.target
    return (
        isinstance(table.value, ast.Dict | ast.Tuple)
        and ast.unparse(target).isupper()
        and not ast.unparse(target).startswith("_")
    )


def _values(table: ast.expr | None) -> Iterator[str]:
    """The texts of a table: of what it holds, not of what it is asked by."""
    for each in table.values if isinstance(table, ast.Dict) else [table] if table else []:
        yield from _texts(each)


def _likely(texts: Iterable[str]) -> Iterator[str]:
    return (text for text in texts if not NO_SENTENCE.fullmatch(text))


def _of_template(path: Path) -> Iterator[str]:
    tree = Environment(autoescape=True).parse(path.read_text(encoding="utf-8"))
    asked = [call.args[0] for call in tree.find_all(nodes.Call) if _is_say(call) and call.args]
    yield from _constants(each for each in asked if isinstance(each, nodes.Const))
    inside = [each for each in asked if not isinstance(each, nodes.Const)]
    for each in inside:
        yield from _constants(each.find_all(nodes.Const))
    if any(each.find(nodes.Name) for each in inside):
        yield from (text for text in _constants(tree.find_all(nodes.Const)) if LIKE_ONE.match(text))


def _is_say(call: nodes.Call) -> bool:
    return isinstance(call.node, nodes.Name) and call.node.name == "say"


def _constants(found: Iterable[nodes.Const]) -> Iterator[str]:
    yield from (each.value for each in found if isinstance(each.value, str))


if __name__ == "__main__":
    for given in sys.argv[1:]:
        sys.stdout.write(f"{write(given)}\n")
