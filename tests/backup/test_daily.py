"""A backup a day by itself, through clocks set wrong, full disks and failing folders."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tracker import backupwords
from tracker.backup import daily
from tracker.backup.names import kept_in, name_of
from tracker.collection import preferences
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.settings import ChangeSettings
from tracker.reminders.role import take_role
from tracker.store.store import Store

DAY = timedelta(days=1)


def begun(store: Store, now: datetime) -> bool:
    thread = daily.begin(store, now)
    if thread is not None:
        thread.join()
    return thread is not None


def told(store: Store, now: datetime) -> str:
    held = preferences(store)
    standing = daily.standing(store.path.parent, held.values.backup_folder, now)
    return backupwords.told(standing, now, held).replace(str(store.path.parent), "DATA")


def test_one_a_day_whatever_is_asked_how_often(store: Store, now: datetime) -> None:
    assert told(store, now) == "There is no backup in DATA/backups yet."
    assert [begun(store, now + timedelta(hours=n)) for n in (0, 1, 5, 17, 30)] == [True, False, False, True, False]
    assert told(store, now + timedelta(hours=20)) == "Last backup: today 00:25, 3 h ago, in DATA/backups."


def test_a_clock_in_1970_and_one_in_2100_cost_no_backup_and_delete_none(store: Store, now: datetime) -> None:
    for moment in (now, datetime(1970, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC), now + DAY):
        assert begun(store, moment)
    assert len(kept_in(store.path.parent / "backups")) == 4
    assert told(store, now + DAY).startswith("Last backup: today")


def test_older_ones_are_thinned_and_strange_files_stay(store: Store, now: datetime) -> None:
    folder = store.path.parent / "backups"
    folder.mkdir()
    for n in range(1, 100):
        (folder / name_of(now - n * DAY)).write_text("earlier")
    (folder / "letter.zip").write_text("not ours")
    assert begun(store, now)
    assert len(kept_in(folder)) == 7 + 2 + 3  # days; weeks before them; months before those
    assert (folder / "letter.zip").exists()


def test_it_goes_where_its_owner_wants_it(store: Store, who: Who, tmp_path_factory: pytest.TempPathFactory) -> None:
    stick = tmp_path_factory.mktemp("stick")
    submit(store, [ChangeSettings(backup_folder=str(stick))], who)
    assert begun(store, who.now)
    assert [each.name for each in stick.iterdir()] == [name_of(who.now)]


def test_it_can_be_switched_off(store: Store, who: Who) -> None:
    submit(store, [ChangeSettings(backup_daily=False)], who)
    assert not begun(store, who.now)
    assert told(store, who.now).endswith("None is made by itself.")


def test_a_failure_is_told_tried_again_after_an_hour_and_forgotten_once_it_works(store: Store, now: datetime) -> None:
    (store.path.parent / "backups").write_text("a file is in the way")
    assert not begun(store, now)
    assert "No backup was made: DATA/backups can't be read: Not a directory." in told(store, now)
    (store.path.parent / "backups").unlink()
    assert not begun(store, now + timedelta(minutes=59))
    assert begun(store, now + timedelta(hours=1))
    assert told(store, now + timedelta(hours=2)) == "Last backup: today 08:25, 1 h ago, in DATA/backups."


def test_a_failure_while_it_writes_is_told_too(store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise ZeroDivisionError("of all things")

    monkeypatch.setattr(daily, "write", full)
    assert begun(store, now)
    assert told(store, now).endswith("No backup was made: of all things.")


def test_of_two_programs_one_makes_it(store: Store, now: datetime) -> None:
    role = take_role(store.path.parent, daily.ROLE)
    assert role is not None
    with role:
        assert begun(store, now)
    assert kept_in(store.path.parent / "backups") == {}


def test_names_tell_moments_and_nothing_else_does() -> None:
    moment = datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert kept_in(Path("/nowhere/at/all")) == {}
    assert name_of(moment) == "going-barrel-20260329T013000Z.zip"
