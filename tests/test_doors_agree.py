"""The same winding told on the page, by the command line and in a file is the same run-down and the same estimate."""

import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from tracker import clock
from tracker.cli import main
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.figures import Figures, collect
from tracker.uids import uid_of
from tracker.web.app import create_app

WATCH = uid_of("night ferry")


def _by_page(folder: Path, now: datetime) -> None:
    store = open_collection(folder, now)
    client = create_app(store, now=lambda: now).test_client()
    page = client.get("/", base_url="http://127.0.0.1").get_data(as_text=True)
    fields = {name: _field(page, name) for name in ("csrf_token", "key")}
    told = {f"shown-{WATCH}": "437", f"hands-{WATCH}": "set now", "when": "about", "clock": "07:10"}
    answer = client.post(
        "/log/tap", data={**fields, **told, "do": f"wound-stopped {WATCH}"}, base_url="http://127.0.0.1"
    )
    assert answer.status_code == 303
    store.close()


def _field(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]+)"', page)
    assert found is not None
    return found[1]


def _by_command_line(folder: Path, _now: datetime) -> None:
    told = ["wound", "night", "--had-stopped", "--showing", "4:37", "--set", "--at", "07:10"]
    assert main([*told, "--data", str(folder)]) == 0


def _by_file(folder: Path, now: datetime) -> None:
    rows = folder / "log.csv"
    rows.write_text(
        f"watch,entry,at,within_min,found,shown,hands\nNight ferry,wind,{now:%Y-%m-%d}T07:10,10,stopped,4:37,set now\n"
    )
    assert main(["import", str(rows), "--kind", "log", "--data", str(folder)]) == 0


def _told(folder: Path, now: datetime, door: Callable[[Path, datetime], None]) -> Figures:
    folder.mkdir()
    store = open_collection(folder, now)
    watch = RegisterWatch(uid=WATCH, nickname="Night ferry", stated_reserve_h=42, habit="keep going")
    wind = LogWind.model_validate(
        {"uid": uid_of("w"), "watch_uid": WATCH, "at": "2026-11-23T07:30Z", "zone": "UTC", "hands": "set now"}
    )
    submit(store, [watch, wind], owner(store, "page", now))
    store.close()
    door(folder, now)
    store = open_collection(folder, now)
    (figures,) = collect(store, now)
    store.close()
    return figures


@pytest.mark.parametrize("door", [_by_command_line, _by_file])
def test_page_command_line_and_file_say_the_same(
    tmp_path: Path,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    door: Callable[[Path, datetime], None],
) -> None:
    monkeypatch.setenv("TZ", "UTC")
    monkeypatch.setattr(clock, "now", lambda: now)
    page, other = _told(tmp_path / "page", now, _by_page), _told(tmp_path / "other", now, door)
    (run,), (same,) = page.history.runs, other.history.runs
    assert run.evidence.kind == "one_of"
    assert same._replace(uids=(), end_uid="") == run._replace(uids=(), end_uid="")
    assert other.estimate == page.estimate
    assert other.standing == page.standing
    capsys.readouterr()
