"""What `going doctor` looks at, and what it says to do."""

import socket
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import pytest

from sensors import brokerusers
from tests.brokers import free_port
from tracker import doctor, feed, goingtoml, renewal
from tracker.backup import daily
from tracker.backup.archive import write
from tracker.backup.names import name_of
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.settings import ChangeSettings
from tracker.doctor import Look, examine
from tracker.errors import Unavailable
from tracker.reminders import links
from tracker.reminders.role import take_role
from tracker.store.store import Store


def looks(store: Store, now: datetime, port: int = 0) -> dict[str, Look]:
    return {each.name: each for each in examine(store.path.parent, now, port)}


@pytest.fixture
def cared_for(store: Store, who: Who, monkeypatch: pytest.MonkeyPatch) -> Store:
    monkeypatch.setenv("TZ", "Europe/Lisbon")
    submit(store, [ChangeSettings(zone="Europe/Lisbon")], who)
    write(store.path.parent, store.path.parent / "backups" / name_of(who.now), who.now)
    store.path.parent.chmod(0o700)
    return store


def test_where_all_is_well_nothing_is_to_do(cared_for: Store, now: datetime) -> None:
    found = looks(cared_for, now)
    assert [name for name, each in found.items() if each.to_do] == []
    assert {*found} == {"collection", "time zone", "clock", "backup", "channels", "disk", "broker", "port", "privacy"}


@pytest.mark.parametrize("wrong", [datetime(1970, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)])
def test_a_clock_that_was_never_set(cared_for: Store, wrong: datetime) -> None:
    assert "which can't be" in looks(cared_for, wrong)["clock"].sentence
    assert looks(cared_for, wrong)["clock"].to_do


def test_a_clock_behind_the_newest_change(cared_for: Store, now: datetime) -> None:
    found = looks(cared_for, now - timedelta(days=30))["clock"]
    assert found.sentence == "It shows 2026-10-26 07:25; the newest change was made at 2026-11-25 07:25."
    assert found.to_do


def test_another_time_zone_than_the_machines(cared_for: Store, now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Asia/Kolkata")
    assert looks(cared_for, now)["time zone"].to_do


def test_backups_that_are_old_or_fail(cared_for: Store, now: datetime) -> None:
    assert looks(cared_for, now + timedelta(days=3))["backup"].to_do == "Back up now: going backup FILE."
    daily._tell_plight(cared_for.path.parent, "No backup was made: the disk is full.", now)
    assert looks(cared_for, now)["backup"].sentence == "No backup was made: the disk is full."


def test_a_broker_that_does_not_answer(cared_for: Store, now: datetime) -> None:
    port = free_port()
    (cared_for.path.parent / "going.toml").write_text(f'[mqtt]\nhost = "127.0.0.1"\nport = {port}\n')
    found = looks(cared_for, now)["broker"]
    assert found.sentence == f"127.0.0.1:{port} can't be reached: Connection refused."
    assert found.to_do
    with closing(socket.create_server(("127.0.0.1", port))):
        assert looks(cared_for, now)["broker"] == Look("broker", f"127.0.0.1:{port} answers.")
    (cared_for.path.parent / "going.toml").write_text("[nothing]")
    assert looks(cared_for, now)["broker"].to_do == "Put going.toml right."


def test_a_port_that_another_program_has(cared_for: Store, now: datetime) -> None:
    with closing(socket.create_server(("127.0.0.1", 0))) as other:
        port = other.getsockname()[1]
        assert looks(cared_for, now, port)["port"].to_do == f"Choose another: going serve --port {port + 1}."
        role = take_role(cared_for.path.parent, "reminding")
        assert role is not None
        with role:
            assert looks(cared_for, now, port)["port"].to_do == ""


def test_too_little_room(cared_for: Store, now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    class Usage(NamedTuple):
        free: int = 1_500_000

    monkeypatch.setattr("shutil.disk_usage", lambda _: Usage())
    found = looks(cared_for, now)["disk"]
    assert (found.sentence, found.to_do) == ("Free on this disk: 1.5 MB.", "Make room: 200 MB are wanted.")


def test_keys_that_others_can_read(cared_for: Store, now: datetime) -> None:
    folder = cared_for.path.parent
    (folder / "link-key").write_text("secret")
    (folder / "link-key").chmod(0o644)
    assert looks(cared_for, now)["privacy"].to_do == ""
    folder.chmod(0o755)
    found = looks(cared_for, now)["privacy"]
    assert (found.sentence, found.to_do) == ("Others on this machine can read link-key.", f"chmod 700 {folder}")


def test_every_file_of_secrets_is_looked_at() -> None:
    named = {links.KEY_FILE, feed.KEY_FILE, renewal.SESSION_KEY_FILE, brokerusers.FILE_NAME, goingtoml.FILE_NAME}
    assert named == {*doctor.SECRETS}


def test_a_damaged_file_and_one_of_another_schema(cared_for: Store, now: datetime) -> None:
    with cared_for.change() as db:
        db.execute("DELETE FROM _sqlite_migrations WHERE id > 3")
    assert looks(cared_for, now)["collection"].to_do == "Start the program once, or update it."
    cared_for.close()
    cared_for.path.write_bytes(b"no database at all " * 99)
    assert "damaged" in looks(cared_for, now)["collection"].sentence


def test_without_a_collection_it_says_so(tmp_path: Path, now: datetime) -> None:
    with pytest.raises(Unavailable, match="There is no collection in"):
        examine(tmp_path / "nowhere", now, 0)
