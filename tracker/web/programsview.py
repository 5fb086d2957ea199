"""The document of the API as a page shows it: each address with what it takes, what it answers, and an example."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tracker.api.document import UID
from tracker.words import say

Schema = Mapping[str, Any]
WORDS = {"integer": "whole number", "number": "number", "boolean": "true or false", "string": "text", "null": "null"}
"""What a kind of value is called where nothing more is known of it."""


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a body, a parameter or a header: its kind in words, whether it is needed, what it is for."""

    name: str
    kind: str
    needed: bool
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One address: how it is asked, and what comes of it. `sent` and `answer` are examples as JSON, empty without one."""

    name: str
    method: str
    path: str
    told: Sequence[str]
    parameters: Sequence[Field]
    fields: Sequence[Field]
    sent: str
    answer: str
    refusals: str


@dataclass(frozen=True, slots=True)
class Section:
    """The addresses for one purpose."""

    title: str
    operations: Sequence[Operation]


def sections(document: Schema) -> list[Section]:
    """Every address of the document, by purpose."""
    base = document["servers"][0]["url"]
    found = [
        (operation["tags"], _operation(document, f"{base}{path}", method, operation))
        for path, methods in document["paths"].items()
        for method, operation in methods.items()
    ]
    return [
        Section(say(tag["description"]), [each for tags, each in found if tag["name"] in tags])
        for tag in document["tags"]
    ]


def _operation(document: Schema, path: str, method: str, operation: Schema) -> Operation:
    content = operation.get("requestBody", {}).get("content", {})
    as_json = content.get("application/json", {})
    answer = operation["responses"]["200"]["content"]["application/json"]
    return Operation(
        name=operation["operationId"],
        method=method.upper(),
        path=path,
        told=[say(each) for each in (operation["summary"], operation.get("description", "")) if each],
        parameters=[_parameter(each) for each in operation.get("parameters", ())],
        fields=_fields(document, as_json.get("schema")) or _files(content),
        sent=_pretty(as_json),
        answer=_pretty(answer),
        refusals=", ".join(status for status in operation["responses"] if status != "200"),
    )


def _parameter(parameter: Schema) -> Field:
    name = say("{name} (header)", name=parameter["name"]) if parameter["in"] == "header" else parameter["name"]
    return Field(
        name, kind(parameter["schema"]), parameter.get("required", False), say(parameter.get("description", ""))
    )


def _files(content: Iterable[str]) -> list[Field]:
    types = [each for each in content if each != "application/json"]
    return [Field(say("the body"), say(" or ").join(types), needed=True)] if types else []


def _fields(document: Schema, schema: Schema | None) -> list[Field]:
    if schema is None:
        return []
    whole = document["components"]["schemas"][schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema
    needed = whole.get("required", ())
    return [Field(name, kind(each), name in needed, _unsaid(each)) for name, each in whole["properties"].items()]


def _unsaid(schema: Schema) -> str:
    """What counts where the field is left out, if that is worth saying."""
    default = schema.get("default")
    if default in (None, "", []):
        return ""
    return say("If left out: {default}.", default=json.dumps(default, ensure_ascii=False).strip('"'))


def kind(schema: Schema) -> str:
    """What a value is, in words."""
    if "anyOf" in schema:
        return say(" or ").join(kind(each) for each in schema["anyOf"])
    if "$ref" in schema:
        return str(schema["$ref"].rpartition("/")[2])
    if "enum" in schema:
        return say("one of {choices}", choices=", ".join(str(each) for each in schema["enum"]))
    if schema.get("pattern") == UID["pattern"]:
        return say("uid")
    return _plain(schema)


def _plain(schema: Schema) -> str:
    if schema.get("type") == "array":
        return say("list of {kind}", kind=kind(schema.get("items", {})))
    if schema.get("format") in {"date-time", "date"}:
        return say("moment") if schema["format"] == "date-time" else say("day")
    told = say(WORDS.get(schema.get("type", ""), "anything"))
    return ", ".join(part for part in (told, *_bounds(schema)) if part)


def _bounds(schema: Schema) -> Iterable[str]:
    for name, sentence in (
        ("exclusiveMinimum", "more than {n}"),
        ("minimum", "at least {n}"),
        ("maximum", "at most {n}"),
        ("maxLength", "at most {n} characters"),
    ):
        if name in schema:
            yield say(sentence, n=f"{schema[name]:,}".removesuffix(".0"))


def _pretty(content: Schema) -> str:
    return json.dumps(content["example"], ensure_ascii=False, indent=2) if "example" in content else ""
