"""Where things lie."""

import ast
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "tracker", "sensors", "templates", "tests",
    "Makefile", "CHANGELOG.md", "LICENSE", "requirements.lock", "requirements-dev.lock",
}  # fmt: skip
SQL = re.compile(
    r"\b(SELECT\s.+\sFROM|INSERT\s+(OR\s+\w+\s+)?INTO|UPDATE\s+\w+\s+SET|DELETE\s+FROM|CREATE\s+TABLE|PRAGMA)\b",
    re.DOTALL,
)
MOST_LINES = 400


def _kept() -> list[str]:
    """Files of the checkout as git knows them, and those it would add."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout")
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return [path for path in listed.stdout.splitlines() if (ROOT / path).exists()]


def _strings(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def test_the_top_level_holds_only_what_belongs_there() -> None:
    top = {path.split("/")[0] for path in _kept()}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize("folder", ["tracker/core", "tracker/core/barrel", "tracker/core/rounds", "sensors"])
def test_every_module_has_a_test_file_of_its_name(folder: str) -> None:
    tests = ROOT / "tests" / folder.removeprefix("tracker/")
    modules = {path.stem for path in (ROOT / folder).glob("*.py")} - {"__init__"}
    assert {name for name in modules if not (tests / f"test_{name}.py").exists()} == set()


def test_sql_lives_in_the_store_alone() -> None:
    outside = {
        str(path.relative_to(ROOT))
        for folder in ("tracker", "sensors")
        for path in (ROOT / folder).rglob("*.py")
        if ROOT / "tracker" / "store" not in path.parents and any(SQL.search(text) for text in _strings(path))
    }
    assert outside == set()


def test_no_module_is_longer_than_one_idea() -> None:
    long = {
        str(path.relative_to(ROOT)): lines
        for folder in ("tracker", "sensors")
        for path in (ROOT / folder).rglob("*.py")
        if (lines := len(path.read_text().splitlines())) > MOST_LINES
    }
    assert long == {}
