"""The document: valid, whole, and true of what is answered."""

import json
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from schemathesis.specs.openapi.definitions import OPENAPI_31_VALIDATOR

from tests.api.documented import check, conforms, operations
from tests.api.samples import ASKED, SENT
from tests.api.write_examples import answered
from tracker.api.commands import OFFERED
from tracker.api.document import ABOUT, REFUSALS, document, examples
from tracker.api.reads import LAID, READS
from tracker.commands.door import COMMANDS
from tracker.commands.permitted import NO_PROGRAM_MAY


def test_it_is_an_openapi_document_of_version_3_1() -> None:
    OPENAPI_31_VALIDATOR.validate(document())
    assert document()["openapi"].startswith("3.1")


def test_every_shape_in_it_is_a_json_schema() -> None:
    for schema in document()["components"]["schemas"].values():
        assert jsonschema_rs.meta.is_valid({**schema, "$schema": "https://json-schema.org/draft/2020-12/schema"})


def test_every_command_is_in_it_but_those_that_are_for_people_alone() -> None:
    assert {asked.name for asked in OFFERED.values()} == COMMANDS.keys() - NO_PROGRAM_MAY
    assert set(operations()) == {*OFFERED, *(read.name for read in READS), *(laid.name for laid in LAID)}


@pytest.mark.parametrize("path", OFFERED)
def test_a_body_has_the_fields_of_its_command_and_no_other(path: str) -> None:
    schema = document()["components"]["schemas"][OFFERED[path].name]
    assert {*schema["properties"]} == {*OFFERED[path].command.model_fields} - {"uid", "version"}
    assert {*schema["required"]} <= {*schema["properties"]}


def test_no_word_of_pydantic_is_left_in_it() -> None:
    text = json.dumps(document())
    assert [
        word for word in ('"ge":', '"gt":', '"le":', '"lt":', "pydantic", "-Input", "-Output") if word in text
    ] == []


def test_every_operation_has_its_refusals_and_an_example() -> None:
    for name, operation in operations().items():
        assert {"401", "403", "406", "421", "503"} <= operation["responses"].keys(), name
        assert ("428" in operation["responses"]) == (name in OFFERED and OFFERED[name].edits)
    assert {*examples()} == {*ASKED, *SENT} == {*OFFERED, *(read.name for read in READS)}
    assert {*document()["components"]["responses"]} == {str(status) for status in REFUSALS}


def test_what_it_says_of_headers_is_what_they_are_called() -> None:
    assert [word for word in ("Idempotency-Key", "If-Match", "ETag", "Link") if word not in ABOUT] == []


@pytest.fixture(scope="module")
def answers(furnished: Path) -> dict[str, dict[str, Any]]:
    return answered(furnished)


@pytest.mark.parametrize("name", [*ASKED, *SENT])
def test_an_example_is_answered_as_the_document_says(name: str, answers: dict[str, dict[str, Any]]) -> None:
    assert alike(answers[name], examples()[name])
    check(name, 200, answers[name]["answer"])


@pytest.mark.parametrize("path", SENT)
def test_an_example_is_a_body_as_the_document_has_it(path: str) -> None:
    content = operations()[path]["requestBody"]["content"]["application/json"]
    assert content["example"] == SENT[path]
    conforms(SENT[path], content["schema"])


def alike(one: Any, other: Any) -> bool:
    """The same, but for the last places of a float, which are the machine's own."""
    if isinstance(one, float) and isinstance(other, float | int):
        return bool(one == pytest.approx(other, rel=1e-3, abs=1e-6))
    if isinstance(one, dict):
        return (
            isinstance(other, dict) and one.keys() == other.keys() and all(alike(one[key], other[key]) for key in one)
        )
    if isinstance(one, list):
        return isinstance(other, list) and len(one) == len(other) and all(map(alike, one, other))
    return type(one) is type(other) and one == other
