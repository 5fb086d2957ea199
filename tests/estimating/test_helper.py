"""The second process on a long line: what it works out, when there is one, and that none is left behind."""

import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.derived import check_cache
from tests.estimating.test_serving import env, filled, until
from tracker import derive
from tracker.estimating.helper import MANY, helped
from tracker.store.store import Store


def in_line(store: Store) -> int:
    return len(derive.in_line(store.reading(), datetime.now(UTC)))


def test_a_long_line_is_worked_off_from_its_end_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = filled(tmp_path, MANY + 1)
    first, *_ = derive.in_line(store.reading(), datetime.now(UTC))
    for name, value in env(tmp_path).items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    with helped(tmp_path, in_line(store)):
        until(lambda: in_line(store) < MANY, "nothing was worked out")
        assert first in derive.in_line(store.reading(), datetime.now(UTC))
        until(lambda: in_line(store) == 0, "the line was not worked off")
    assert check_cache(store.path, datetime.now(UTC)) == MANY + 1


@pytest.mark.parametrize(("line", "cores"), [(MANY - 1, 8), (200, 1), (200, None)])
def test_a_short_line_or_a_single_core_has_no_helper(
    line: int, cores: int | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    monkeypatch.setattr(subprocess, "Popen", lambda *_, **__: pytest.fail("a process was started"))
    with helped(tmp_path, line):
        pass


def test_without_the_means_for_a_second_process_the_worker_goes_on_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def none_left(*_: object, **__: object) -> None:
        raise OSError(12, "Cannot allocate memory")

    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.setattr(subprocess, "Popen", none_left)
    done = []
    with helped(tmp_path, MANY):
        done.append("the line")
    assert done == ["the line"]
    assert "No second process" in caplog.text


def test_it_ends_when_its_worker_is_gone_and_leaves_nothing_half_done(tmp_path: Path) -> None:
    store = filled(tmp_path, MANY + 4)
    command = [sys.executable, "-m", "tracker.estimating.helper", str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, env=env(tmp_path)) as helper:
        until(lambda: in_line(store) < MANY + 4, "nothing was worked out")
        assert helper.stdin is not None
        helper.stdin.close()
        assert helper.wait(10) == 0
    assert 0 < in_line(store) < MANY + 4
    derive.catch_up(store, datetime.now(UTC))
    assert check_cache(store.path, datetime.now(UTC)) == MANY + 4
