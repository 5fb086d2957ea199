"""The shapes of the document, generated from the commands and answers themselves (JSON Schema 2020-12)."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from pydantic import TypeAdapter
from pydantic.json_schema import JsonSchemaMode

from tracker.api import entries
from tracker.api.answers import Done
from tracker.api.commands import IN_HEADERS, OFFERED, Asked
from tracker.api.reads import LAID, READS

Schema = dict[str, Any]
REF = "#/components/schemas/{model}"

_BOUNDS = {"ge": "minimum", "gt": "exclusiveMinimum", "le": "maximum", "lt": "exclusiveMaximum"}
"""What pydantic calls a bound that stands behind a validator of ours, and what JSON Schema does."""

PROBLEM: Schema = {
    "type": "object",
    "description": "What went wrong (RFC 9457).",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {"type": "string"},
        "title": {"type": "string", "description": "The status in words."},
        "status": {"type": "integer"},
        "detail": {"type": "string", "description": "The sentence that a person would be told."},
        "errors": {
            "type": "array",
            "description": "A sentence for each part of the request to blame, and its place.",
            "items": {
                "type": "object",
                "required": ["detail"],
                "properties": {
                    "detail": {"type": "string"},
                    "pointer": {"type": "string", "description": "A field of the body: a JSON pointer (RFC 6901)."},
                    "header": {"type": "string"},
                    "parameter": {"type": "string"},
                },
                "additionalProperties": False,
            },
        },
    },
    "additionalProperties": False,
}


@cache
def shapes() -> tuple[dict[str, Schema], dict[str, Schema]]:
    """The answer of each read by its name, and every shape that is spoken of by name."""
    keys: list[tuple[str, JsonSchemaMode, TypeAdapter[Any]]] = [
        (asked.name, "validation", TypeAdapter(asked.command)) for asked in OFFERED.values()
    ]
    told = {each.name: each.shape for each in (*READS, *LAID) if each.shape is not None} | {"done": Done}
    keys += [(name, "serialization", TypeAdapter(shape)) for name, shape in told.items()]
    of_key, shared = TypeAdapter.json_schemas(keys, ref_template=REF)
    found: dict[str, Schema] = shared["$defs"]
    for asked in OFFERED.values():
        found[asked.name] = body_of(asked, _resolved(of_key[asked.name, "validation"], found))
    found |= {f"{name}Entry": schema for name, schema in _entries()}
    found["Entry"] = {
        "anyOf": [{"$ref": REF.format(model=f"{command.__name__}Entry")} for command in entries.NOTED_BY.values()]
    }
    answered = {name: of_key[name, "serialization"] for name in told} | {"log": {"$ref": REF.format(model="Entry")}}
    return answered, {name: tidied(schema) for name, schema in found.items()} | {"Problem": PROBLEM}


def body_of(asked: Asked, schema: Schema) -> Schema:
    """The body of a command: its fields but for those that headers carry."""
    kept = {name: each for name, each in schema["properties"].items() if name not in IN_HEADERS}
    free = {*IN_HEADERS, *(["zone"] if asked.zone_is_owners else [])}
    needed = [name for name in schema.get("required", []) if name not in free]
    return {**schema, "properties": kept, "required": needed}


def _entries() -> Iterable[tuple[str, Schema]]:
    """For each kind of entry the shape of what is read: the fields of its command, every one of them told."""
    commands = [*entries.NOTED_BY.values()]
    of_key, shared = TypeAdapter.json_schemas(
        [(each.__name__, "serialization", TypeAdapter(each)) for each in commands], ref_template=REF
    )
    for command in commands:
        schema = _resolved(of_key[command.__name__, "serialization"], shared["$defs"])
        told = {name: schema["properties"][name] for name in entries.fields_of(command)}
        beside = {
            "command": {"const": command.__name__},
            "noted_at": {"type": "string", "format": "date-time"},
            "origin": {"type": "string"},
        }
        yield command.__name__, {**schema, "properties": told | beside, "required": [*told, *beside]}


def _resolved(schema: Schema, shared: Mapping[str, Schema]) -> Schema:
    return shared[schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema


def tidied(value: Any) -> Any:
    """A schema in the words of JSON Schema alone, without the titles that only repeat a field's name."""
    if isinstance(value, list):
        return [tidied(each) for each in value]
    if not isinstance(value, dict):
        return value
    return {
        _BOUNDS.get(name, name): tidied(each)
        for name, each in value.items()
        if not (name == "title" and isinstance(each, str))
    }
