"""The document as a page shows it."""

from typing import Any

import pytest

from tracker.api.commands import OFFERED
from tracker.api.document import document
from tracker.web.programsview import Operation, kind, sections


def operation(name: str) -> Operation:
    return next(each for section in sections(document()) for each in section.operations if each.name == name)


def test_every_address_of_the_document_is_shown_once() -> None:
    shown = [(each.method.lower(), each.path) for section in sections(document()) for each in section.operations]
    assert sorted(shown) == sorted(
        (method, f"/api{path}") for path in document()["paths"] for method in document()["paths"][path]
    )
    assert len(shown) == len(set(shown)) > len(OFFERED)


def test_a_command_tells_its_fields_its_headers_and_an_example() -> None:
    shown = operation("edit-watch")
    fields = {each.name: each for each in shown.fields}
    assert fields["nickname"].needed
    assert not fields["place"].needed
    assert fields["stated_reserve_h"].kind == "number, at least 1, at most 10,000 or null"
    assert fields["wound_by"].told == "If left out: crown."
    assert [(each.name, each.needed) for each in shown.parameters] == [
        ("Idempotency-Key (header)", False),
        ("If-Match (header)", True),
    ]
    assert '"nickname": "Night ferry"' in shown.sent
    assert shown.refusals.startswith("400, 401, 403")


def test_a_file_is_sent_as_it_is() -> None:
    assert [(each.name, each.kind) for each in operation("keep-portrait").fields] == [
        ("the body", "image/jpeg or image/png or image/webp")
    ]
    assert [each.name for each in operation("keep-address").fields] == ["address"]


@pytest.mark.parametrize(
    ("schema", "said"),
    [
        ({"type": "boolean"}, "true or false"),
        ({"type": "string", "maxLength": 4000}, "text, at most 4,000 characters"),
        ({"type": "number", "exclusiveMinimum": 0}, "number, more than 0"),
        ({"anyOf": [{"type": "integer", "minimum": 1, "maximum": 31}, {"type": "null"}]}, "whole number, at least 1, at most 31 or null"),
        ({"type": "array", "items": {"$ref": "#/components/schemas/Part"}}, "list of Part"),
        ({"type": "string", "format": "date-time"}, "moment"),
        ({"type": "string", "format": "date"}, "day"),
        ({"enum": [12, 24]}, "one of 12, 24"),
        ({}, "anything"),
    ],
)  # fmt: skip
def test_a_kind_of_value_is_said_in_words(schema: dict[str, Any], said: str) -> None:
    assert kind(schema) == said
