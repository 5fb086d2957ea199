"""How long a file form takes from the command to its answer, beside a Python that only imports numpy: printed, never judged."""

import json
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.bench.bench_pages import tell

TURNS = 9
BARREL = {
    "drum_diameter_mm": 11, "arbor_diameter_mm": 3.4, "thickness_mm": 0.115, "height_mm": 1.3, "length_mm": 350,
    "modulus_gpa": 205, "free_turns": 6, "efficiency": 0.9, "hours_per_turn": 6.5, "least_torque_nmm": 3,
}  # fmt: skip
FORMS = {
    "reserve": {"stated_h": 42, "now_years": 2, "runs": [{"age_years": 1, "at_least_h": 26}]},
    "round": {
        "now": "2026-11-02T06:00:00Z",
        "end": "2026-11-05T06:00:00Z",
        "rounds": ["2026-11-02T07:30:00Z", "2026-11-03T07:30:00Z"],
        "watches": [{"name": "Night ferry", "wind_by": "2026-11-02T19:00:00Z", "lasts_h": 31.5}],
    },
    "barrel": BARREL,
}
READINGS = '{"kind": "boolean", "expected_s": 60}\n' + "".join(
    f'{{"t": "2026-11-02T07:3{minute}:00Z", "going": {going}}}\n'
    for minute, going in enumerate(["true"] * 3 + ["false"] * 3)
)


def _ms(command: Sequence[str], folder: Path) -> float:
    times = []
    for _ in range(TURNS):
        began = time.perf_counter()
        subprocess.run(command, cwd=folder, check=True, capture_output=True)
        times.append(1000 * (time.perf_counter() - began))
    return statistics.median(times)


@pytest.mark.bench
def test_file_forms_answer_soon(tmp_path: Path) -> None:
    texts = {name: json.dumps(document) for name, document in FORMS.items()} | {"spans": READINGS}
    bare = _ms([sys.executable, "-c", "import numpy"], tmp_path)
    tell(f"\n  a Python that imports numpy  {bare:5.0f} ms")
    for name, text in texts.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
        took = _ms([str(Path(sys.executable).parent / "going"), name, "--from", name, "--json"], tmp_path)
        tell(f"  going {name:7} --from FILE    {took:5.0f} ms, {took / bare:.1f} times that")
