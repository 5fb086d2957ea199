"""A collection is opened, or made where there is none."""

import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tracker.collection import machine_zone, open_collection, owner, preferences
from tracker.commands.settings import SETTING_NAMES, Settings
from tracker.errors import Unavailable


def test_a_new_collection_has_one_owner_and_every_preference(tmp_path: Path, now: datetime) -> None:
    store = open_collection(tmp_path / "deep" / "folder", now)
    person = store.reading().execute("SELECT name, role, added_utc FROM person").fetchall()
    names = [name for (name,) in store.reading().execute("SELECT name FROM setting").fetchall()]
    assert person == [("owner", "owner", "2026-11-25T07:25:00Z")]
    assert sorted(names) == sorted(SETTING_NAMES)
    assert preferences(store).values == Settings(zone=machine_zone())
    store.close()


def test_opening_again_changes_nothing(tmp_path: Path, now: datetime) -> None:
    first = open_collection(tmp_path, now)
    before = (owner(first, "page", now).person_uid, preferences(first))
    first.close()
    again = open_collection(tmp_path, now + timedelta(days=1))
    assert (owner(again, "page", now).person_uid, preferences(again)) == before
    again.close()


def test_the_owner_gives_commands_in_the_zone_of_the_settings(tmp_path: Path, now: datetime) -> None:
    store = open_collection(tmp_path, now)
    with store.change() as db:
        db.execute("UPDATE setting SET value = '\"Asia/Kolkata\"' WHERE name = 'zone'")
    who = owner(store, "command line", now)
    assert (who.zone, who.origin, who.now) == ("Asia/Kolkata", "command line", now)
    assert preferences(store).zone.key == "Asia/Kolkata"
    store.close()


def test_a_file_without_owner_was_not_opened_by_this_program(tmp_path: Path, now: datetime) -> None:
    store = open_collection(tmp_path, now)
    with store.change() as db:
        db.execute("DELETE FROM person")
    with pytest.raises(Unavailable) as caught:
        owner(store, "page", now)
    assert caught.value.sentence == "This collection has no owner; it was not opened by this program."
    store.close()


def test_a_preference_new_to_the_file_gets_its_default(tmp_path: Path, now: datetime) -> None:
    store = open_collection(tmp_path, now)
    store.close()
    with closing(sqlite3.connect(store.path)) as conn:
        conn.execute("DELETE FROM setting WHERE name = 'notice_h'")
        conn.commit()
    again = open_collection(tmp_path, now)
    assert again.reading().execute("SELECT value FROM setting WHERE name = 'notice_h'").fetchone() == ("3.0",)
    again.close()


@pytest.mark.parametrize(
    ("named", "link", "zone"),
    [
        ("Asia/Kolkata", "/usr/share/zoneinfo/Europe/Berlin", "Asia/Kolkata"),
        (":Asia/Kolkata", "", "Asia/Kolkata"),
        ("", "/usr/share/zoneinfo/Europe/Berlin", "Europe/Berlin"),
        ("CET-1CEST,M3.5.0,M10.5.0/3", "/usr/share/zoneinfo/Europe/Berlin", "Europe/Berlin"),
        ("nowhere", "/etc/localtime", "UTC"),
        ("", "/usr/share/zoneinfo/nowhere", "UTC"),
    ],
)
def test_the_zone_of_the_machine_is_a_name_or_utc(
    named: str, link: str, zone: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", named)
    monkeypatch.setattr("os.path.realpath", lambda _: link)
    assert machine_zone() == zone
