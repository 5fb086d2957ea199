"""Watches are found by words, whatever their capitals and accents."""

from datetime import timedelta

import pytest

from tests.web.rounds import NOW, give
from tracker.commands.log import LogSighting
from tracker.commands.register import ArchiveWatch, RegisterWatch
from tracker.shortnames import short_name
from tracker.store import register
from tracker.store.finding import found
from tracker.store.store import Store
from tracker.uids import uid_of

FERRY, DIAL, OTHER = (uid_of(name) for name in ("ferry", "dial", "other"))


@pytest.fixture(autouse=True)
def _three(store: Store) -> None:
    give(
        store,
        RegisterWatch(uid=FERRY, nickname="Nächtliche Fähre", place="Top drawer", serial="K 4711", note="From Øystein"),
    )
    give(
        store,
        RegisterWatch(uid=DIAL, nickname="Grey dial", calibre="16 lignes", belongs_to="A pilot", job_number="W-118"),
    )
    give(store, RegisterWatch(uid=OTHER, nickname="Straße"))
    give(
        store,
        LogSighting(watch_uid=DIAL, at=NOW - timedelta(hours=1), zone="UTC", seen="going", note="the crown wobbles"),
    )


@pytest.mark.parametrize(
    ("typed", "uids"),
    [
        ("fahre", {FERRY}),
        ("FÄHRE nachtliche", {FERRY}),
        ("drawer", {FERRY}),
        ("grey drawer", set()),
        ("strasse", {OTHER}),
        ("4711", {FERRY}),
        ("oystein", {FERRY}),
        ("w-118", {DIAL}),
        ("pilot", {DIAL}),
        ("wobbles", {DIAL}),
        ("16 ligne", {DIAL}),
        ("%", set()),
        ("'; --", set()),
        ("  ", set()),
    ],
)
def test_an_owner_finds_by_every_text(store: Store, typed: str, uids: set[str]) -> None:
    assert found(store.reading(), typed, for_owner=True) == uids


@pytest.mark.parametrize("typed", ["4711", "oystein", "w-118", "pilot", "wobbles", "ligne"])
def test_a_helper_finds_nothing_by_what_only_owners_see(store: Store, typed: str) -> None:
    assert found(store.reading(), typed, for_owner=False) == set()


@pytest.mark.parametrize("role", ["owner", "helper"])
def test_everyone_finds_by_name_place_and_label(store: Store, role: str) -> None:
    short = short_name(DIAL)
    for typed in (short, short.upper(), f"{short[:3]} {short[3:]}", f"{short[:3]}-{short[3:]}", "grey"):
        assert found(store.reading(), typed, for_owner=role == "owner") == {DIAL}
    assert found(store.reading(), "top", for_owner=role == "owner") == {FERRY}


def test_a_watch_put_away_is_found_and_one_taken_back_is_not(store: Store) -> None:
    watch = register.watch(store.reading(), FERRY)
    assert watch is not None
    give(store, ArchiveWatch(watch_uid=FERRY, version=watch.version))
    assert found(store.reading(), "4711", for_owner=True) == {FERRY}
    with store.change() as db:
        db.execute("UPDATE watch SET voided_by = 'x' WHERE uid = ?", [DIAL])
    assert found(store.reading(), "wobbles", for_owner=True) == set()
