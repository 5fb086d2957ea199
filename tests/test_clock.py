"""There is one clock."""

import ast
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tracker import clock

ROOT = Path(__file__).parents[1]
CLOCK = ROOT / "tracker" / "clock.py"
READS_A_CLOCK = {
    "now", "utcnow", "today", "time", "time_ns", "monotonic", "monotonic_ns", "perf_counter", "perf_counter_ns",
    "localtime", "gmtime", "ctime", "asctime", "strftime",
}  # fmt: skip
OF_MODULES = {"datetime", "date", "time", "dt"}


def _modules() -> Iterator[Path]:
    for folder in ("tracker", "sensors"):
        yield from sorted((ROOT / folder).rglob("*.py"))


def clock_reads(source: str) -> list[str]:
    """Calls and imports by which this source would ask what time it is."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module == "time":
            found += [f"from time import {name.name}" for name in node.names if name.name in READS_A_CLOCK]
        if isinstance(node, ast.Attribute) and node.attr in READS_A_CLOCK:
            owner = ast.unparse(node.value)
            needs_value = node.attr == "strftime" and owner != "time"
            if owner.rpartition(".")[2] in OF_MODULES and not needs_value:
                found.append(f"{owner}.{node.attr}")
    return found


def test_no_module_but_the_clock_asks_what_time_it_is() -> None:
    reads = {str(path.relative_to(ROOT)): clock_reads(path.read_text()) for path in _modules() if path != CLOCK}
    assert {path: found for path, found in reads.items() if found} == {}


@pytest.mark.parametrize(
    "source",
    [
        "datetime.now(UTC)", "datetime.datetime.utcnow()", "date.today()", "datetime.date.today()", "time.time()",
        "time.monotonic()", "time.perf_counter()", "from time import time", "time.localtime()", "f = datetime.now",
        "time.strftime('%H')",
    ],
)  # fmt: skip
def test_a_read_of_a_clock_is_found(source: str) -> None:
    assert len(clock_reads(source)) == 1


def test_what_only_sounds_like_a_clock_is_not_taken_for_one() -> None:
    harmless = "now = who.now\nclock.now()\nmoment.time()\nmoment.strftime('%H')\ntime.sleep(1)\nself.today"
    assert clock_reads(harmless) == []


def test_now_is_aware_and_in_utc() -> None:
    assert clock.now().tzinfo is UTC
    assert abs(clock.now() - datetime.now(UTC)) < timedelta(minutes=1)


def test_the_monotonic_clock_never_goes_back() -> None:
    first = clock.monotonic_s()
    assert clock.monotonic_s() >= first
