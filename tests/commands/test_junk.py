"""Whatever stands in the fields of whichever command: it is done or refused in our own words, and a refusal changes nothing.

What can be given is spoilt in up to three fields, so that most of it comes past the fields to the door and the collection
behind it. A few examples of each command here, many with GOING_EXAMPLES (`make soak`).
"""

import math
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.api.house import NIGHT, WIND, furnish
from tests.commands.test_registry import (
    BACK,
    CALL,
    CARE,
    FACE,
    FRITZ,
    GONE,
    MAIL,
    OLD,
    OPENS,
    PAPER,
    PHONE,
    PHOTO,
    PROGRAM,
    SAMPLES,
    SEAT,
    STOP,
    TEST,
    TRAY,
    TRIP,
    WORD,
    WOUND,
    A,
    B,
    D,
    J,
)  # fmt: skip
from tests.web.rounds import NOW
from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.errors import GoingError
from tracker.store.store import Store

EXAMPLES = int(os.environ.get("GOING_EXAMPLES", "0")) // 10 or 6
UIDS = [
    A, B, D, J, NIGHT, WIND, OLD, STOP, CARE, WOUND, TRAY, SEAT, GONE, PHOTO, PAPER, FACE, BACK, PHONE, MAIL, CALL, TRIP, TEST,
    FRITZ, WORD, PROGRAM, OPENS, A.upper(), "",
]  # fmt: skip
MOMENTS = [
    "2026-11-25T07:20Z",
    "1900-01-01T00:00Z",
    "9999-12-31T23:59:59Z",
    "2026-10-25T02:30",
    "0001-01-01T00:00+14:00",
    "2026-11-25",
]
JUNK = st.one_of(
    st.sampled_from(UIDS),
    st.sampled_from(MOMENTS),
    st.none(),
    st.booleans(),
    st.sampled_from([0, 1, -1, 2**31, 2**63 - 1, 2**63, -(2**63) - 1, 10**400, 1e308, -0.0, 5e-324, math.nan, math.inf]),
    st.sampled_from(["", " ", "0", "1e400", "1_000", "٣", "\0", "a\0b", "\ud800", "\n", "'; DROP TABLE watch;--", "x" * 5000, "⌚️", "{x}", "%s"]),
    st.text(max_size=8),
    st.lists(st.sampled_from([*UIDS, None, 1, "07:30", "\0"]), max_size=50),
    st.recursive(st.none() | st.integers(), lambda each: st.dictionaries(st.text(max_size=3), each, max_size=2), max_leaves=3),
    st.binary(max_size=4),
)  # fmt: skip


@pytest.fixture(scope="module")
def image(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, Who]:
    """A furnished collection as bytes, and its owner."""
    store = open_collection(tmp_path_factory.mktemp("image"), NOW)
    furnish(store)
    who = owner(store, "page", NOW)
    store.close()
    conn = sqlite3.connect(store.path)
    conn.execute("PRAGMA journal_mode = DELETE")
    conn.close()
    return store.path.read_bytes(), who


@contextmanager
def in_memory(image: bytes) -> Iterator[Store]:
    def connect(_: Path) -> sqlite3.Connection:
        conn = sqlite3.connect(":memory:", check_same_thread=False)
        conn.deserialize(image)
        conn.execute("PRAGMA foreign_keys = ON")
        return conn

    store = Store(Path("nowhere", "going.db"), connect=connect)
    try:
        yield store
    finally:
        store.close()


def spoilt(kind: str) -> st.SearchStrategy[dict[str, Any]]:
    """The fields of a command that can be given, some of them spoilt or left out."""
    names = st.sampled_from(sorted(COMMANDS[kind].model_fields))
    return st.builds(
        lambda wrong, without: {name: each for name, each in (SAMPLES[kind] | wrong).items() if name not in without},
        st.dictionaries(names, JUNK, max_size=3),
        st.sets(names, max_size=1),
    )


def refusal(store: Store, kind: str, fields: dict[str, Any], who: Who) -> str:
    """The sentence by which a command is refused; empty if it is done."""
    try:
        submit(store, [build(COMMANDS[kind], fields)], who, then=lambda *_: None)
    except GoingError as error:
        return error.sentence
    return ""


@pytest.mark.parametrize("kind", COMMANDS)
def test_whatever_is_given_is_done_or_refused_and_a_refusal_changes_nothing(
    kind: str, image: tuple[bytes, Who]
) -> None:
    whole, who = image

    @given(fields=spoilt(kind), origin=st.sampled_from(["page", "program"]))
    @settings(
        max_examples=EXAMPLES, deadline=None, derandomize=True, database=None, suppress_health_check=[*HealthCheck]
    )
    def attack(fields: dict[str, Any], origin: Any) -> None:
        with in_memory(whole) as store:
            before = store.reading().conn.serialize()
            refused = refusal(store, kind, fields, replace(who, origin=origin))
            if refused:
                assert refused.isprintable()
                assert store.reading().conn.serialize() == before
            assert store.reading().execute("PRAGMA foreign_key_check").fetchall() == []
            assert not store.reading().conn.in_transaction

    attack()
