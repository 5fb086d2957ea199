import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.barrel.drums import USUAL, barrel
from tracker.core.barrel.sums import FIGURES, sums
from tracker.errors import BadInput, UnknownKey
from tracker.fileform.barrel import KEYS, answer, answer_file

DOCUMENT: dict[str, Any] = {
    "drum_diameter_mm": 11, "arbor_diameter_mm": 3.4, "thickness_mm": 0.115, "height_mm": 1.3,
    "length_mm": 350, "modulus_gpa": 205, "free_turns": 6, "efficiency": 0.9,
    "hours_per_turn": 6.5, "least_torque_nmm": 3, "barrels": 1, "arrangement": "series",
}  # fmt: skip


def test_the_keys_are_those_of_the_form() -> None:
    assert tuple(DOCUMENT) == KEYS
    assert list(answer(DOCUMENT)) == [*FIGURES, "warnings"]


def test_the_form_gives_what_the_core_gives() -> None:
    found, of = answer(DOCUMENT), sums(barrel())
    for name in FIGURES:
        assert found[name] == pytest.approx(float(getattr(of, name)), rel=1e-11), name
    assert found["warnings"] == []
    json.dumps(found, allow_nan=False)


def test_what_is_left_out_is_a_straight_strip_without_friction_in_one_barrel() -> None:
    short = {
        key: value
        for key, value in DOCUMENT.items()
        if key not in {"free_turns", "efficiency", "least_torque_nmm", "barrels", "arrangement"}
    }
    told = short | {"free_turns": 0, "efficiency": 1, "least_torque_nmm": 0, "barrels": 1, "arrangement": "series"}
    assert answer(short) == answer(told)


def test_warnings_are_sentences() -> None:
    assert answer({**DOCUMENT, "modulus_gpa": 205_000})["warnings"] == [
        "No metal has a modulus of 205,000 GPa; is the figure in GPa?",
        "Perhaps the unit of the modulus is MPa: 205 GPa would be usual.",
    ]


@pytest.mark.parametrize(
    "key",
    [
        "drum_diameter_mm",
        "arbor_diameter_mm",
        "thickness_mm",
        "height_mm",
        "length_mm",
        "modulus_gpa",
        "hours_per_turn",
    ],
)
def test_what_is_missing_is_named(key: str) -> None:
    with pytest.raises(BadInput) as refused:
        answer({name: value for name, value in DOCUMENT.items() if name != key})
    assert refused.value.field == f"/{key}"
    assert refused.value.sentence.startswith(f"/{key}: this is missing. The keys are drum_diameter_mm, ")


@pytest.mark.parametrize("key", sorted(USUAL))
@pytest.mark.parametrize("value", ["11", None, True, [11], {}])
def test_what_is_no_number_is_refused_by_its_key(key: str, value: object) -> None:
    with pytest.raises(BadInput) as refused:
        answer({**DOCUMENT, key: value})
    assert refused.value.sentence == f"/{key}: this is not a number. A number is expected."


@pytest.mark.parametrize("value", [5, None, ["series"], {}, ""])
def test_an_arrangement_that_is_none_is_refused(value: object) -> None:
    with pytest.raises(BadInput) as refused:
        answer({**DOCUMENT, "arrangement": value})
    assert refused.value.sentence == "/arrangement: Barrels act in “series” or in “parallel”."


@pytest.mark.parametrize("value", [10**400, 1e300, -(10**400)])
def test_a_number_beyond_all_bounds_is_refused(value: float) -> None:
    with pytest.raises(BadInput) as refused:
        answer({**DOCUMENT, "length_mm": value})
    assert refused.value.field == "/length_mm"


ANY = st.floats(allow_nan=False) | st.integers() | st.sampled_from([0.0, -0.0, 1e-4, 1e6, 5e-324, 1.7e308])


@given(st.dictionaries(st.sampled_from([key for key in DOCUMENT if key != "arrangement"]), ANY, min_size=1, max_size=3))
def test_whatever_the_numbers_the_answer_is_finite_or_one_refusal_by_its_key(change: dict[str, float]) -> None:
    refused = _refusal({**DOCUMENT, **change})
    if refused is None:
        json.dumps(answer({**DOCUMENT, **change}), allow_nan=False)
    else:
        assert refused.field.removeprefix("/") in DOCUMENT
        assert refused.sentence.startswith(f"{refused.field}: ")
        assert refused.sentence.endswith(".")


def _refusal(document: dict[str, Any]) -> BadInput | None:
    try:
        answer(document)
    except BadInput as refused:
        return refused
    return None


def test_an_unknown_key_is_refused_by_name() -> None:
    with pytest.raises(UnknownKey) as refused:
        answer({**DOCUMENT, "colour": 1})
    assert refused.value.sentence.startswith("“colour” is not a key of this form. Known keys: drum_diameter_mm, ")


@pytest.mark.parametrize("document", [[], 1, "x", None])
def test_what_is_no_object_is_refused(document: object) -> None:
    with pytest.raises(BadInput):
        answer(document)


def test_a_file_gives_what_its_document_gives(tmp_path: Path) -> None:
    (tmp_path / "barrel.json").write_text(json.dumps(DOCUMENT), encoding="utf-8")
    assert answer_file(str(tmp_path / "barrel.json")) == answer(DOCUMENT)


def test_the_form_needs_numpy_and_the_standard_library_only() -> None:
    program = "import sys, tracker.fileform.barrel; print(*sorted({m.split('.')[0] for m in sys.modules}))"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    loaded = set(run.stdout.split())
    ours = {"tracker", "numpy"}
    assert ours <= loaded
    named = {name for name in loaded - ours if not name.startswith("_")}
    assert named <= set(sys.stdlib_module_names) | {"sitecustomize"}, named - set(sys.stdlib_module_names)
