"""The signed text of a link: one telling of one reminder, with an end, and nothing anyone else can make."""

import stat
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tracker.errors import GoingError
from tracker.reminders.links import KEY_FILE, LASTS, Link, NotOurs, Spent, key_of, read, sign
from tracker.uids import uid_of

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
LINK = Link(uid_of("reminder"), 2, NOW + LASTS)


def test_it_is_read_as_it_was_signed_and_fits_an_address() -> None:
    token = sign(LINK, "key")
    assert read(token, "key", NOW) == LINK
    assert token.replace(".", "").replace("-", "").replace("_", "").isalnum()
    assert len(token) < 110


def test_from_its_end_on_it_is_spent() -> None:
    token = sign(LINK, "key")
    assert read(token, "key", LINK.ends - timedelta(seconds=1)) == LINK
    with pytest.raises(Spent) as caught:
        read(token, "key", LINK.ends)
    assert caught.value.sentence == "This link has expired. Nothing was changed."


def _altered() -> list[str]:
    token = sign(LINK, "key")
    other = {"a": "b"}
    changed = [token[:n] + other.get(token[n], "a") + token[n + 1 :] for n in range(len(token) - 1)]
    return [*changed, token[:-1], token[1:], token.rpartition(".")[0], "", ".", "ä", "a.b.c.d", f"{token}x"]


@pytest.mark.parametrize("token", _altered())
def test_altered_anywhere_it_is_not_ours(token: str) -> None:
    with pytest.raises(NotOurs):
        read(token, "key", NOW)


def test_one_of_another_collection_is_not_ours() -> None:
    with pytest.raises(GoingError) as caught:
        read(sign(LINK, "another key"), "key", NOW)
    assert caught.value.sentence == "This link is not whole, or not one of ours. Nothing was changed."


def test_each_telling_of_each_reminder_allows_one_change_of_its_own() -> None:
    others = [replace(LINK, telling=3), replace(LINK, reminder_uid=uid_of("another"))]
    assert len({LINK.uid, *(each.uid for each in others)}) == 3
    assert replace(LINK, ends=NOW).uid == LINK.uid


def test_its_key_is_made_once_for_all_who_ask_and_is_the_owners_alone(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as asking:
        keys = set(asking.map(key_of, [tmp_path] * 40))
    assert keys == {key_of(tmp_path)}
    assert len(keys.pop()) == 64
    assert stat.S_IMODE((tmp_path / KEY_FILE).stat().st_mode) == 0o600
    assert [each.name for each in tmp_path.iterdir()] == [KEY_FILE]
