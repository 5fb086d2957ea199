"""Schemathesis over the whole document: whatever is sent, the answer is one that the document tells of, and never a fault.

A few examples of each operation here, many with GOING_EXAMPLES (`make soak`).
"""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests.api.house import NIGHT, OWNERS, WIND, Program
from tests.commands.test_registry import (
    BACK,
    CALL,
    CARE,
    FACE,
    GONE,
    MAIL,
    OLD,
    PAPER,
    PHONE,
    PHOTO,
    SEAT,
    STOP,
    TEST,
    TRAY,
    TRIP,
    A,
    B,
    D,
    J,
)  # fmt: skip
from tests.web.rounds import NOW
from tracker.api.document import document
from tracker.collection import open_collection
from tracker.store.store import Store

EXAMPLES = int(os.environ.get("GOING_EXAMPLES", "0")) // 10 or 2
CHECKS = [
    not_a_server_error, status_code_conformance, content_type_conformance, response_headers_conformance,
    response_schema_conformance,
]  # fmt: skip
"""Not whether what its schemas forbid is refused: our commands take what a form may hold, such as a decimal comma, too."""


@pytest.fixture(scope="module")
def attacked(furnished: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """One collection for all of it: what earlier attacks left is there for the later ones."""
    folder = tmp_path_factory.mktemp("attacked")
    shutil.copytree(furnished, folder, dirs_exist_ok=True)
    store = open_collection(folder, NOW)
    yield store
    store.close()


@pytest.fixture(scope="module")
def api(attacked: Store) -> schemathesis.BaseSchema:
    return schemathesis.openapi.from_wsgi("/api/openapi.json", Program(attacked, alone=True).app)


SPOILT = [
    (path, method)
    for path, methods in document()["paths"].items()
    for method, operation in methods.items()
    if operation.get("parameters") or "requestBody" in operation
]
"""Where something can be sent that the document forbids."""
PLACES = [(path, method) for path, methods in document()["paths"].items() for method in methods]
KNOWN = {
    "uid": [NIGHT, A, TRAY, PHONE],
    "watch_uid": [NIGHT, A, B, D, J],
    "entry_uid": [WIND, STOP, OLD, CARE],
    "replaces": [WIND, OLD],
    "of_uid": [NIGHT, CARE],
    "wind_uid": [WIND, OLD],
    "sensor_uid": [TRAY, SEAT, GONE],
    "attachment_uid": [PHOTO, PAPER],
    "portrait_uid": [FACE, BACK],
    "channel_uid": [PHONE],
    "address_uid": [MAIL],
    "absence_uid": [TRIP],
    "reminder_uid": [CALL],
    "test_uid": [TEST],
    "batch": [NIGHT, WIND],
}
"""What is there: of a made-up uid nothing is told but that there is no such thing."""


def attack(api: schemathesis.BaseSchema, place: tuple[str, str], mode: GenerationMode) -> None:
    path, method = place

    @given(case=api[path][method].as_strategy(generation_mode=mode), data=st.data())
    @settings(
        max_examples=EXAMPLES, deadline=None, derandomize=True, database=None, suppress_health_check=[*HealthCheck]
    )
    def one(case: Case[Any], data: st.DataObject) -> None:
        for values in [each for each in (case.path_parameters, case.body) if isinstance(each, dict)]:
            for name in KNOWN.keys() & values.keys():
                if data.draw(st.booleans()):
                    values[name] = data.draw(st.sampled_from(KNOWN[name]))
        case.call_and_validate(headers={"Authorization": f"Bearer {OWNERS}"}, checks=CHECKS)

    one()


@pytest.mark.parametrize("place", PLACES, ids=" ".join)
def test_what_the_document_allows_is_answered_as_it_says(place: tuple[str, str], api: schemathesis.BaseSchema) -> None:
    attack(api, place, GenerationMode.POSITIVE)


@pytest.mark.parametrize("place", SPOILT, ids=" ".join)
def test_what_the_document_forbids_is_answered_as_it_says(place: tuple[str, str], api: schemathesis.BaseSchema) -> None:
    attack(api, place, GenerationMode.NEGATIVE)
