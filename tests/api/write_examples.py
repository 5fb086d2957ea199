"""Write the examples of the document: `python -m tests.api.write_examples` from the root of the checkout."""

import json
import os
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from werkzeug.test import TestResponse

from tests.api.house import Program, furnish
from tests.api.samples import ASKED, SENT
from tests.web.rounds import NOW
from tracker.api.commands import OFFERED
from tracker.api.document import EXAMPLES
from tracker.collection import open_collection
from tracker.uids import uid_of

READ_AT = {"watch_uid": "/watches/{}", "sensor_uid": "/sensors/{}", "channel_uid": "/channels/{}"}


def sent(program: Program, path: str) -> TestResponse:
    """The example of a command, sent as the document says; what an edit needs is read first."""
    headers = {"Idempotency_Key": uid_of("example", path)}
    if OFFERED[path].edits:
        headers["If_Match"] = program.get(edited(path)).headers["ETag"]
    return program.give(path, SENT[path], **headers)


def edited(path: str) -> str:
    """Where what this edit changes is read."""
    if path == "change-settings":
        return "/settings"
    field, where = next((field, where) for field, where in READ_AT.items() if field in SENT[path])
    return where.format(SENT[path][field]) + ("/barrel" if path == "keep-barrel" else "")


def answered(folder: Path) -> dict[str, dict[str, Any]]:
    """Every example with its answer, each in a copy of the collection in this folder."""
    found: dict[str, dict[str, Any]] = {}
    for number, name in enumerate([*ASKED, *SENT]):
        copy = folder.with_name(f"copy-{number}")
        shutil.copytree(folder, copy)
        store = open_collection(copy, NOW)
        program = Program(store)
        answer = program.get(ASKED[name]) if name in ASKED else sent(program, name)
        assert answer.status_code == 200, (name, answer.text)
        found[name] = ({"sent": SENT[name]} if name in SENT else {}) | {"answer": answer.json}
        store.close()
        shutil.rmtree(copy)
    return found


if __name__ == "__main__":
    os.environ["TZ"] = "Europe/Berlin"
    with TemporaryDirectory() as temporary:
        begun = open_collection(Path(temporary, "furnished"), NOW)
        furnish(begun)
        begun.close()
        told = json.dumps(answered(begun.path.parent), ensure_ascii=False, indent=1)
    EXAMPLES.write_text(f"{told}\n", encoding="utf-8")
