"""`make audit` never takes silence for a clean answer."""

import json
from pathlib import Path

import pytest

from tests.audit import audited, verdict

CLEAN = {"name": "ink", "version": "1.0", "vulns": []}
WEAK = {"name": "paper", "version": "2.0", "vulns": [{"id": "CVE-2026-0000", "fix_versions": ["2.1"], "aliases": []}]}
UNASKED = {"name": "blotter", "skip_reason": "Dependency not found and could not be audited"}


def _answer(*libraries: object) -> str:
    return json.dumps({"dependencies": libraries, "fixes": []})


def test_all_looked_up_and_nothing_known() -> None:
    assert verdict(_answer(CLEAN, CLEAN)) == (0, ["2 libraries looked up, nothing known against them."])


def test_what_is_known_names_library_and_cure() -> None:
    assert verdict(_answer(CLEAN, WEAK)) == (1, ["paper 2.0: CVE-2026-0000, mended in 2.1"])


@pytest.mark.parametrize("answer", ["", "Traceback", "[]", "{}", _answer(), _answer(UNASKED), _answer(CLEAN, UNASKED)])
def test_a_library_not_looked_up_is_not_reached(answer: str) -> None:
    status, lines = verdict(answer)
    assert status == 2
    assert "not reached" in lines[-1].lower()
    assert not any("nothing known" in line for line in lines)


def test_a_weakness_is_told_also_where_others_were_not_reached() -> None:
    status, lines = verdict(_answer(WEAK, UNASKED))
    assert status == 2
    assert lines[0].startswith("paper 2.0: CVE-2026-0000")
    assert "1 of 2 libraries (blotter)" in lines[1]


def test_without_network_it_is_not_reached(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("HTTPS_PROXY", "https_proxy", "ALL_PROXY"):
        monkeypatch.setenv(name, "http://127.0.0.1:9")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "no-answers-of-before"))
    lock = tmp_path / "one.lock"
    lock.write_text(f"waitress==3.0.2 --hash=sha256:{'0' * 64}\n")
    assert audited(str(lock))[0] == 2
