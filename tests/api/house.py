"""A collection in which every command can be given, its people, and programs with a token of each kind."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.commands.test_registry import BEFORE, CALL, MAIL, OPENS, PICTURE, SHOWN, WORD, D
from tests.cuesaid import say_cue
from tests.reminders.duly import last_call
from tests.web.rounds import NOW, give
from tracker.collection import open_collection, owner
from tracker.commands.build import build
from tracker.commands.door import COMMANDS
from tracker.commands.log import LogSighting, LogWind
from tracker.commands.person import AddPerson
from tracker.commands.register import RegisterWatch
from tracker.photofile import place
from tracker.reach import Reach
from tracker.sessions import hash_of
from tracker.store import channels
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app
from tracker.web.request import CLOCK_KEY, STORE_KEY

GRETE, NIGHT, WIND = uid_of("Grete"), uid_of("night ferry"), uid_of("its wind")
OWNERS, WINDS, LOOKS, HELPERS, EXPIRED, ENDED = (
    f"going_of-{word}" for word in ("owner", "winds", "looks", "helper", "past", "ended")
)
SECRETS = ("worth a ferry", "serial-4711", "hidden in the clock", "Aunt Ottilie")
"""What is for the owner's eyes."""


def furnish(store: Store) -> None:
    """Fill an empty collection."""
    with store.change() as db:
        channels.keep_address(db, MAIL, "https://127.0.0.1/hook")
        secrets = {OPENS: "of a token", WORD: "of a password"}
        secrets |= {uid_of(secret): hash_of(secret) for secret in (OWNERS, WINDS, LOOKS, HELPERS, EXPIRED, ENDED)}
        db.conn.executemany("INSERT INTO secret (uid, hash) VALUES (?, ?)", secrets.items())
    named = [(kind, {"uid": uid_of("before", str(n)), **fields}) for n, (kind, fields) in enumerate(BEFORE)]
    give(store, AddPerson(uid=GRETE, name="Grete"), *(build(COMMANDS[kind], fields) for kind, fields in named))
    _tokens(store)
    give(
        store,
        RegisterWatch(
            uid=NIGHT, nickname="Night ferry", stated_reserve_h=42, habit="keep going", place="hall", value=SECRETS[0],
            serial=SECRETS[1], note=SECRETS[2], belongs_to=SECRETS[3],
        ),
        LogSighting(watch_uid=NIGHT, at="2026-11-24T18:05:00Z", zone="Europe/Berlin", seen="going"),  # type: ignore[arg-type]  # as pydantic reads it
    )  # fmt: skip
    give(
        store,
        LogWind(uid=WIND, watch_uid=NIGHT, at="2026-11-25T06:30:00Z", zone="Europe/Berlin", found="going", hands="left"),  # type: ignore[arg-type]
    )  # fmt: skip
    say_cue(store, D, NOW)
    last_call(store, CALL, NOW, watch_uid=D)
    for sha256 in (PICTURE["sha256"], SHOWN["sha256"], SHOWN["small_sha256"]):
        file = place(store.path.parent, sha256)
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(b"a picture")


def _tokens(store: Store) -> None:
    owners = owner(store, "page", NOW).person_uid
    with store.change() as db:
        db.conn.executemany(
            "INSERT INTO token (uid, name, person_uid, secret_uid, scope, added_utc, expires_utc, ended_utc, used_utc) "
            "VALUES (?, ?, ?, ?, ?, '2026-11-01T00:00:00Z', ?, ?, '2026-11-25T07:24:00Z')",
            [
                (uid_of("token", secret), secret, person, uid_of(secret), scope, expires, ended)
                for secret, person, scope, expires, ended in (
                    (OWNERS, owners, "all", None, None),
                    (WINDS, owners, "log", None, None),
                    (LOOKS, owners, "read", None, None),
                    (HELPERS, GRETE, "all", None, None),
                    (EXPIRED, owners, "all", "2026-11-25T07:25:00Z", None),
                    (ENDED, owners, "all", None, "2026-11-20T00:00:00Z"),
                )
            ],
        )


@cache
def _app(reach: Reach | None) -> Flask:
    """The pages as they are reached so, of whichever collection is put into them: to put them together takes its time."""
    with TemporaryDirectory() as folder:
        begun = open_collection(Path(folder), NOW)
        begun.close()
        return create_app(begun, reach=reach)


class Program:
    """A program that asks with a token, or without one. All of one `reach` share their pages, unless they are `alone`."""

    def __init__(
        self, store: Store, secret: str | None = OWNERS, *, reach: Reach | None = None, alone: bool = False
    ) -> None:
        self.app = create_app(store, reach=reach) if alone else _app(reach)
        self.app.extensions[STORE_KEY] = store
        self.app.extensions[CLOCK_KEY] = lambda: NOW
        self.client: FlaskClient = self.app.test_client()
        self.headers = {} if secret is None else {"Authorization": f"Bearer {secret}"}

    def get(self, path: str, **headers: str) -> TestResponse:
        """Ask."""
        return self.client.get(f"/api{path}", headers=self.headers | headers)

    def give(self, path: str, body: object, **headers: str) -> TestResponse:
        """Give a command; header names with underscores."""
        told = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.client.post(f"/api/commands/{path}", json=body, headers=self.headers | told)


def dump(store: Store) -> list[str]:
    """All of the file."""
    return list(store.reading().conn.iterdump())


def problem_of(answer: TestResponse, status: int) -> Mapping[str, Any]:
    """The problem details of an answer that must be one of this status."""
    assert answer.status_code == status, answer.text
    assert answer.mimetype == "application/problem+json"
    told: Mapping[str, Any] = answer.get_json(force=True)
    assert told["status"] == status
    return told
