"""A value of a table as a CSV cell and as JSON, exactly, and back."""

import base64
import binascii
import math
from typing import Any

from tracker.csvfile.cells import QUOTED
from tracker.store.exchange import Column, Value
from tracker.words import say

LEAST_INTEGER, MOST_INTEGER = -(2**63), 2**63 - 1


class Wrong(ValueError):
    """A value that its column does not take; its text says what would be."""


def to_cell(value: Value, column: Column) -> str:
    """As a cell: nothing is an empty one, an empty text where nothing may stand is ', and no text begins as a formula does."""
    if value is None:
        return ""
    if isinstance(value, bytes):
        return base64.b64encode(value).decode()
    if isinstance(value, (int, float)):
        return repr(value)
    return f"'{value}" if value.startswith(QUOTED) or (not value and column.optional) else value


def from_cell(cell: str, column: Column) -> Value:
    """The value of a cell.

    Raises:
        Wrong: the column does not take it.
    """
    if not cell and (column.optional or column.kind != "text"):
        return checked(None, column)
    if column.kind == "text":
        return checked(cell[1:] if cell == "'" or (cell[:1] == "'" and cell[1:].startswith(QUOTED)) else cell, column)
    if column.kind == "blob":
        return from_json(cell, column)
    try:
        return checked(int(cell) if column.kind == "integer" else float(cell), column)
    except ValueError as error:
        raise Wrong(_wanted(column)) from error


def to_json(value: Value) -> Any:
    """As a value of JSON; bytes are base64 (RFC 4648)."""
    return base64.b64encode(value).decode() if isinstance(value, bytes) else value


def from_json(value: Any, column: Column) -> Value:
    """The value of one of JSON.

    Raises:
        Wrong: the column does not take it.
    """
    if column.kind == "blob" and isinstance(value, str):
        try:
            return base64.b64decode(value, validate=True)
        except (binascii.Error, ValueError) as error:
            raise Wrong(_wanted(column)) from error
    if column.kind == "real" and type(value) is int:
        value = float(value) if abs(value) <= MOST_INTEGER else math.inf
    return checked(value, column)


def checked(value: Any, column: Column) -> Value:
    """The value, if the column takes it.

    Raises:
        Wrong: it does not.
    """
    if value is None and column.optional:
        return None
    kinds = {"text": str, "integer": int, "real": float, "blob": bytes}
    right = type(value) is kinds[column.kind]
    if right and column.kind == "text":
        right = not any("\ud800" <= sign <= "\udfff" for sign in value)
    elif right and column.kind == "integer":
        right = LEAST_INTEGER <= value <= MOST_INTEGER
    elif right and column.kind == "real":
        right = math.isfinite(value)
    if not right:
        raise Wrong(_wanted(column))
    found: Value = value
    return found


def _wanted(column: Column) -> str:
    told = {
        "text": say("Give a text."),
        "integer": say("Give a whole number."),
        "real": say("Give a number."),
        "blob": say("Give bytes as base64."),
    }[column.kind]
    return told if not column.optional else say("{told} It may be left empty.", told=told)
