from pathlib import Path

import pytest

from tracker.store.sensed import plight
from tracker.store.sensed.reading import Condition

KEPT = Condition("listening", 50.0, "", "5", 60.0, 7)


def test_what_could_not_be_kept_outdoes_what_was_kept_until_it_is_cleared(tmp_path: Path) -> None:
    assert plight.newest(tmp_path, KEPT) == KEPT
    plight.write(tmp_path, "listening", "the disk is full", "5", 100.0)
    assert plight.newest(tmp_path, KEPT) == Condition("listening", 100.0, "the disk is full", "5", 60.0, 7)
    plight.write(tmp_path, "away", "", "", 200.0)
    assert plight.newest(tmp_path, None) == Condition("away", 200.0, "", "", None, 0)
    plight.clear(tmp_path)
    assert plight.newest(tmp_path, KEPT) == KEPT


def test_it_is_always_written_over_in_place_however_long_the_reason(tmp_path: Path) -> None:
    for why in ("", "x" * 5000, "時" * 5000, "short"):
        plight.write(tmp_path, "away", why, "3.1.1", 1e9)
        assert (tmp_path / plight.FILE_NAME).stat().st_size == plight.SIZE
        found = plight.newest(tmp_path, None)
        assert found is not None
        assert why.startswith(found.why)
        assert len(found.why) == min(len(why), plight.WHY_MOST)


def test_a_file_that_is_damaged_or_can_not_be_written_tells_nothing(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / plight.FILE_NAME).write_bytes(b'{"state": ')
    assert plight.newest(tmp_path, KEPT) == KEPT
    plight.write(tmp_path / "none", "away", "", "", 0.0)
    assert "can't be written" in caplog.text
