"""How backups stand, in words; by moments of a collection in tests/backup/test_daily.py."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tracker.backup.daily import Standing
from tracker.backupwords import told
from tracker.collection import Preferences
from tracker.commands.settings import Settings

PLACE = Path("/media/stick")


@pytest.mark.parametrize(
    ("daily", "failed", "said"),
    [
        (True, "", "Last backup: yesterday 07:25, 24 h ago, in /media/stick."),
        (False, "", "Last backup: yesterday 07:25, 24 h ago, in /media/stick. None is made by itself."),
        (True, "It failed.", "Last backup: yesterday 07:25, 24 h ago, in /media/stick. It failed."),
    ],
)
def test_the_last_one_and_what_went_wrong_since(*, daily: bool, failed: str, said: str, now: datetime) -> None:
    standing = Standing(PLACE, now - timedelta(days=1), failed, now if failed else None)
    assert told(standing, now, Preferences(Settings(backup_daily=daily), 1)) == said


def test_where_there_is_none_it_says_so(now: datetime) -> None:
    assert (
        told(Standing(PLACE, None, "", None), now, Preferences(Settings(), 1))
        == "There is no backup in /media/stick yet."
    )
