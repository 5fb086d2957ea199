"""What the tables hold, in words other programs read: JSON Schema (2020-12) for JSON, metadata for tabular data (W3C, 2015) for CSV."""

from collections.abc import Mapping, Sequence
from typing import Any

from tracker.store.exchange import Column, Table

JSON_TYPES = {"text": "string", "integer": "integer", "real": "number", "blob": "string"}
CSV_TYPES = {"text": "string", "integer": "integer", "real": "double", "blob": "base64Binary"}


def json_schema(head: Mapping[str, Any], tables: Sequence[Table]) -> dict[str, Any]:
    """The JSON Schema of `collection.json` with these tables in it; `head` is what stands there before them."""
    told = {name: {"type": "object" if isinstance(value, dict) else _plain(value)} for name, value in head.items()}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": head["form"],
        "type": "object",
        "properties": told
        | {"form": {"const": head["form"]}, "form_version": {"const": head["form_version"]}, "rows": _rows(tables)},
        "required": [*head, "rows"],
        "additionalProperties": False,
    }


def _plain(value: object) -> str:
    return "integer" if isinstance(value, int) else "array" if isinstance(value, list) else "string"


def _rows(tables: Sequence[Table]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {table.name: {"type": "array", "items": _row(table)} for table in tables},
        "required": [table.name for table in tables],
        "additionalProperties": False,
    }


def _row(table: Table) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {column.name: _value(column) for column in table.columns},
        "required": [column.name for column in table.columns],
        "additionalProperties": False,
    }


def _value(column: Column) -> dict[str, Any]:
    kind = JSON_TYPES[column.kind]
    told: dict[str, Any] = {"type": [kind, "null"] if column.optional else kind}
    if column.kind == "blob":
        told["contentEncoding"] = "base64"
    if column.names_row_of:
        told["description"] = f"the uid of a row of {column.names_row_of}"
    return told


def csv_metadata(tables: Sequence[Table]) -> dict[str, Any]:
    """Metadata of all tables in one group, as `csv-metadata.json` beside them has it."""
    return {
        "@context": "http://www.w3.org/ns/csvw",
        "tables": [
            {
                "url": f"{table.name}.csv",
                "tableSchema": {
                    "columns": [_csv_column(column) for column in table.columns],
                    **({"primaryKey": list(table.key)} if table.key else {}),
                    **_foreign(table),
                },
            }
            for table in tables
        ],
    }


def _csv_column(column: Column) -> dict[str, Any]:
    return {
        "name": column.name,
        "datatype": CSV_TYPES[column.kind],
        "required": not column.optional and column.kind != "text",
    }


def _foreign(table: Table) -> dict[str, Any]:
    keys = [
        {
            "columnReference": column.name,
            "reference": {
                "resource": f"{column.names_row_of}.csv",
                "columnReference": "number" if column.names_row_of == "sensed" else "uid",
            },
        }
        for column in table.columns
        if column.names_row_of
    ]
    return {"foreignKeys": keys} if keys else {}
