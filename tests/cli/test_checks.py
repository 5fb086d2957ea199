"""`going check` and `going doctor`: sentences, JSON, exit codes."""

import json
from pathlib import Path

from tests.cli.conftest import Going


def test_a_sound_collection_passes(three: Going) -> None:
    assert three("check") == (0, "Nothing wrong was found.\n", "")
    assert json.loads(three("check", "--json")[1]) == {"sound": True, "findings": []}


def test_a_fault_is_told_and_is_the_exit_code(three: Going, folder: Path) -> None:
    (folder / "sensors.db").write_bytes(b"no database at all " * 99)
    code, said, _ = three("check")
    assert (code, said) == (
        1,
        "sensors.db is damaged: the file is not a collection. Put a backup in its place: going restore FILE.\n",
    )
    code, said, _ = three("check", "--json")
    assert (code, json.loads(said)["sound"]) == (1, False)


def test_the_doctor_says_what_to_do(three: Going, folder: Path) -> None:
    code, said, _ = three("doctor", "--port", "0")
    assert code == 1
    assert f"backup: There is none in {folder}/backups. Back up now: going backup FILE.\n" in said
    three("backup")
    told = json.loads(three("doctor", "--port", "0", "--json")[1])
    assert "backup" not in [each["name"] for each in told["looks"] if each["to_do"]]


def test_without_a_collection_both_say_so(three: Going, folder: Path) -> None:
    for verb in ("check", "doctor"):
        assert three(verb, "--data", str(folder / "nowhere"))[::2] == (
            5,
            f"going: There is no collection in {folder / 'nowhere'}.\n",
        )
