"""SenML packs against the examples of RFC 8428, section 5, and its rules in section 4."""

import json
from pathlib import Path
from typing import Any

import pytest

from sensors.senml import Record, resolve
from sensors.unread import Unreadable

VECTORS = json.loads((Path(__file__).parent / "senml_vectors.json").read_text())
NOW = VECTORS["now"]


def plain(record: Record) -> dict[str, Any]:
    """A record as a resolved pack writes it."""
    rest = (("u", record.unit), ("s", record.sum), (record.kind, record.value))
    return {"n": record.name, "t": pytest.approx(record.at_s, abs=1e-6)} | {
        label: value for label, value in rest if label and value not in ("", None)
    }


def without_version(record: dict[str, Any]) -> dict[str, Any]:
    return {label: value for label, value in record.items() if label != "bver"}


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["section"])
def test_every_example_of_rfc_8428_section_5_resolves_as_its_authors_have_it(case: dict[str, Any]) -> None:
    assert [plain(record) for record in resolve(case["pack"], NOW)] == [
        without_version(record) for record in case["resolved"]
    ]


def test_base_value_and_base_sum_add_to_numbers_only() -> None:
    case = VECTORS["own_edge_cases"][0]
    assert [plain(record) for record in resolve(case["pack"], NOW)] == case["resolved"]


@pytest.mark.parametrize(
    ("times", "expected"),
    [
        ({}, (NOW, False)),
        ({"t": -5}, (NOW - 5, False)),
        ({"t": 5}, (NOW + 5, False)),
        ({"bt": 2**28 - 1}, (NOW + 2**28 - 1, False)),
        ({"bt": 2**28 - 1, "t": 1}, (2**28, True)),
        ({"bt": 1_700_000_000, "t": -60}, (1_699_999_940, True)),
    ],
)
def test_times_below_two_to_the_28_count_from_now_by_section_4_5_3(
    times: dict[str, float], expected: tuple[float, bool]
) -> None:
    (record,) = resolve([{"n": "a", "v": 1, **times}], NOW)
    assert (record.at_s, record.stamped) == expected


def test_a_label_that_is_not_known_is_passed_over() -> None:
    assert len(resolve([{"n": "a", "v": 1, "colour": {"x": []}}], NOW)) == 1


@pytest.mark.parametrize(
    ("pack", "what"),
    [
        ({}, "it is not a list of records"),
        ([], "it is not a list of records"),
        ([1], "it is not a list of records"),
        ([{"n": "a", "v": 1, "must_": 1}], "“must_” must be understood and is not"),
        ([{"bver": 11, "n": "a", "v": 1}], "its version is not from 1 to 10"),
        ([{"bver": 0, "n": "a", "v": 1}], "its version is not from 1 to 10"),
        ([{"n": 1, "v": 1}], "n can't be 1"),
        ([{"n": "a", "v": True}], "v can't be true"),
        ([{"n": "a", "v": "1"}], "v can't be “1”"),
        ([{"n": "a", "vb": 1}], "vb can't be 1"),
        ([{"n": "a", "v": 10**400}], "v is too large"),
        ([{"bv": 1e308, "n": "a", "v": 1e308}], "v is too large"),
        ([{"v": 1}], "“” is no name"),
        ([{"n": "-a", "v": 1}], "“-a” is no name"),
        ([{"n": "a b", "v": 1}], "“a b” is no name"),
        ([{"n": "a"}], "“a” has no value"),
        ([{"n": "a", "v": 1, "vb": True}], "a record has two values"),
        ([{"n": "a", "vd": "a+b"}], "vd is not base64url"),
    ],
)
def test_a_pack_against_the_rules_is_refused_with_the_reason(pack: object, what: str) -> None:
    with pytest.raises(Unreadable) as caught:
        resolve(pack, NOW)
    assert (caught.value.unread.why, caught.value.unread.what) == ("no pack", what)


def test_a_sum_may_stand_without_a_value_by_section_4_2() -> None:
    (record,) = resolve([{"n": "a", "s": 5}], NOW)
    assert (record.kind, record.value, record.sum) == ("", None, 5)
