"""Whether an answer is one that the document tells of."""

from typing import Any

from jsonschema import Draft202012Validator
from werkzeug.test import TestResponse

from tracker.api.document import document


def operations() -> dict[str, dict[str, Any]]:
    """Every operation by its name."""
    return {operation["operationId"]: operation for path in document()["paths"].values() for operation in path.values()}


def conforms(value: object, schema: dict[str, Any]) -> None:
    """Check a value against a schema of the document."""
    whole = {**schema, "components": document()["components"]}
    Draft202012Validator(whole, format_checker=Draft202012Validator.FORMAT_CHECKER).validate(value)


def check(name: str, status: int, value: object) -> None:
    """Check an answer of this operation against what the document says of this status."""
    told = operations()[name]["responses"][str(status)]
    if "$ref" in told:
        told = document()["components"]["responses"][told["$ref"].rpartition("/")[2]]
    (content,) = told["content"].values()
    conforms(value, content["schema"])


def checked(name: str, answer: TestResponse) -> Any:
    """The value of an answer that is as the document says, its media type, too."""
    value = answer.get_json(force=True)
    check(name, answer.status_code, value)
    assert answer.mimetype == ("application/json" if answer.status_code < 400 else "application/problem+json")
    return value
