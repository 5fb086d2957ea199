import json
import subprocess
import sys
from pathlib import Path

from tests.cli.conftest import Going
from tests.core.barrel.drums import USUAL


def _file(folder: Path, **other: object) -> str:
    (folder / "barrel.json").write_text(json.dumps(USUAL | other))
    return str(folder / "barrel.json")


def test_a_barrel_is_answered_in_json(going: Going, tmp_path: Path) -> None:
    code, said, complaint = going("barrel", "--from", _file(tmp_path), "--json")
    assert (code, complaint) == (0, "")
    assert json.loads(said)["reserve_h"] == 53.0432718175


def test_a_barrel_can_be_read(going: Going, tmp_path: Path) -> None:
    code, said, complaint = going("barrel", "--from", _file(tmp_path, length_mm=250))
    assert (code, complaint) == (0, "")
    first, warned, *rest = said.splitlines()
    assert first == "5.5 turns, 36 h down to 3.0 N mm."
    assert warned == "The strip takes 33 % of the room; under 40 % turns are given away."
    assert "torque at full wind, N mm              7.18" in rest
    assert rest[-2] == "The sums guide a choice; torque gauge and run-down decide."
    assert rest[-1].startswith("A wound mainspring can injure: ")


def test_a_strip_that_does_not_fit_is_one_sentence_and_exit_code_2(going: Going, tmp_path: Path) -> None:
    for way in ((), ("--json",)):
        assert going("barrel", "--from", _file(tmp_path, length_mm=800), *way) == (
            2,
            "",
            "going: /length_mm: A strip of 800 mm leaves no room to turn: 747.4 mm would fill the drum.\n",
        )


def test_a_file_that_is_not_there_is_said(going: Going) -> None:
    assert going("barrel", "--from", "none.json") == (4, "", "going: There is no file none.json.\n")


def test_a_barrel_needs_no_database_no_pydantic_and_no_flask(tmp_path: Path) -> None:
    for way in ("", ", '--json'"):
        code = (
            "import sys; from tracker.cli import main; "
            f"code = main(['barrel', '--from', {_file(tmp_path)!r}{way}]); "
            "heavy = {'pydantic', 'flask', 'sqlite_utils', 'sqlite3', 'scipy', 'platformdirs', 'plotly'} & set(sys.modules); "
            "sys.exit(code or str(sorted(heavy) or ''))"
        )
        said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
        assert said.stderr.strip() == ""
