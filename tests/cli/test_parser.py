import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Going
from tracker.cli import main
from tracker.cli.verbs import VERBS, Verb


@pytest.mark.parametrize("verb", VERBS, ids=lambda verb: verb.name)
def test_every_command_explains_itself_with_an_example_that_parses(
    verb: Verb, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main([verb.name, "--help"])
    assert left.value.code == 0
    said = capsys.readouterr().out
    assert verb.help in said
    assert f"example:\n  going {verb.name}" in said


def test_without_a_command_it_lists_them_all(going: Going) -> None:
    code, said, _ = going()
    assert code == 0
    assert all(verb.help.split()[0] in said and verb.name in said for verb in VERBS)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["wound"], "NAME is missing. going wound --help tells more."),
        (
            ["wund"],
            f"There is no command “wund”. Choose {', '.join(verb.name for verb in VERBS)}. going --help tells more.",
        ),
        (
            ["wound", "Night", "--was-going", "--had-stopped"],
            "--was-going and --had-stopped contradict each other. Give one of them. going wound --help tells more.",
        ),
        (
            ["wound", "Night", "--was-going", "--not-set"],
            "--set, --not-set: “not set” goes with a watch that had stopped. Choose “left” for one that was going.",
        ),
        (
            ["wound", "Night", "--showing", "4:37"],
            (
                "--showing: What the hands showed counts only for a watch that had stopped. "
                "Leave it out, or choose “stopped”."
            ),
        ),
        (
            ["stopped", "Night", "--showing", "noon"],
            (
                "--showing: “noon” is not a time on a dial. "
                "Give the time on the hands as it stands there, such as 4:37 or 437."
            ),
        ),
        (["wound", "Night", "--at", "25:00"], "--at: “25:00” is not a time on the clock. Give it as 07:30."),
        (["wound", "Night", "--at", "2026-13-01"], "--at: “2026-13-01” is not a time. Give it as 2026-11-25T07:30."),
        (
            ["wound", "Night", "--at", "2026-03-29T02:30"],
            "--at: The clocks of Europe/Berlin skipped 2026-03-29 02:30. Give a time before or after the change.",
        ),
        (
            ["wound", "Night", "--at", "2026-10-25T02:30"],
            (
                "--at: The clocks of Europe/Berlin showed 2026-10-25 02:30 twice. "
                "Give it as 2026-10-25T02:30+02:00 or 2026-10-25T02:30+01:00."
            ),
        ),
        (
            ["wound", "Night", "--at", "2026-12-01T07:30"],
            "--at: This time lies in the future. An entry tells what has happened already.",
        ),
        (["seen", "Night", "--at"], "--at needs a word after it. going seen --help tells more."),
        (
            ["seen", "Night", "--reading", "3"],
            "--reading: Night ferry has no reserve indicator in the register. Edit the watch first if it has one.",
        ),
        (["export"], "--kind is missing. going export --help tells more."),
        (
            ["export", "--kind", "logs"],
            "--kind: “logs” is not one of the choices. Choose watches, log, all. going export --help tells more.",
        ),
        (
            ["serve", "--port", "x"],
            "--port: “x” is not a port; give a number from 0 to 65535. going serve --help tells more.",
        ),
        (
            ["serve", "--host", "0.0.0.0"],  # noqa: S104 -- refused
            (
                "--host: 0.0.0.0 is no address of this machine. "
                "Give one as numbers, such as 192.168.1.20; its names go into going.toml."
            ),
        ),
        (["undo", "--all"], "“--all” is not understood here. going --help tells more."),
        (["wound", "Night", "--was"], "“--was” is not understood here. going --help tells more."),
    ],
)
def test_a_wrong_call_gets_one_sentence_and_exit_code_2(three: Going, words: list[str], sentence: str) -> None:
    assert three(*words) == (2, "", f"going: {sentence}\n")


@pytest.mark.parametrize(
    "call", [["--data", "{}", "list"], ["list", "--data", "{}"], ["--data", "x", "list", "--data", "{}"]]
)
def test_the_folder_may_be_named_on_either_side_of_the_command(three: Going, tmp_path: Path, call: list[str]) -> None:
    elsewhere = tmp_path / "elsewhere"
    words = [word.format(elsewhere) for word in call]
    assert three(*words)[1] == f"There is no watch in {elsewhere} yet. Add one: going add NICKNAME\n"


def test_a_folder_that_can_not_be_opened_is_a_sentence(going: Going, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    code, _, complaint = going("list", "--data", str(tmp_path / "file"))
    assert code == 5
    assert complaint.startswith("going: The collection in ")


def test_every_watch_is_listed_with_how_it_stands(going: Going) -> None:
    going("add", "Night ferry", "--reserve", "42", "--habit", "keep-going")
    going("add", "Workshop clock", "--stopped")
    going("wound", "Night", "--had-stopped", "--set")
    rows = going("list")[1].splitlines()
    assert rows[0].split() == ["watch", "state", "left", "wind", "by", "evidence"]
    assert rows[1].startswith("Night ferry     going    ")
    assert "Thu 2026-11-26" not in rows[1]
    assert "tomorrow" in rows[1]
    assert rows[2].split()[:3] == ["Workshop", "clock", "stopped"]


def test_everything_can_be_worked_out_anew(three: Going) -> None:
    before = three("list")
    assert three("recompute") == (0, "Watches worked out anew: 3.\n", "")
    assert three("list") == before


def test_python_m_tracker_is_going(folder: Path) -> None:
    call = [sys.executable, "-m", "tracker", "list"]
    said = subprocess.run(call, capture_output=True, text=True, check=True)
    assert said.stdout == f"There is no watch in {folder} yet. Add one: going add NICKNAME\n"


def test_whoever_stops_reading_early_is_no_error(three: Going, folder: Path) -> None:
    assert three("list")[0] == 0
    command = f"{sys.executable} -m tracker export --kind watches --data {folder} | true"
    said = subprocess.run(["bash", "-o", "pipefail", "-c", command], capture_output=True, text=True, check=False)
    assert (said.returncode, said.stderr) == (0, "")


def test_a_file_form_needs_no_database_no_pydantic_and_no_flask(tmp_path: Path) -> None:
    file = tmp_path / "runs.json"
    file.write_text(json.dumps({"stated_h": 42, "now_years": 1, "runs": [{"age_years": 0.5, "exact_h": 41}]}))
    code = (
        "import sys; from tracker.cli import main; "
        f"code = main(['reserve', '--from', {str(file)!r}, '--json']); "
        # Of scipy, which only the tests need, numba itself looks for matrices.
        "heavy = {'pydantic', 'flask', 'sqlite_utils', 'sqlite3', 'scipy.special', 'scipy.stats', 'platformdirs'} "
        "& set(sys.modules); "
        "sys.exit(code or str(sorted(heavy) or ''))"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert said.stderr.strip() == ""
    assert "wind_by_h" in json.loads(said.stdout)


def test_a_file_form_that_can_not_be_answered_is_a_sentence(going: Going, tmp_path: Path) -> None:
    (tmp_path / "runs.json").write_text('{"colour": 1}')
    code, said, complaint = going("reserve", "--from", str(tmp_path / "runs.json"), "--json")
    assert (code, said) == (2, "")
    assert complaint.startswith("going: ")
    assert "colour" in complaint
