import subprocess
import sys
from pathlib import Path

from tracker.reminders.role import is_held, take_role

HOLDS_IT = """
import pathlib, sys
from tracker.reminders.role import take_role
role = take_role(pathlib.Path(sys.argv[1]), "reminding")
print("held", flush=True)
sys.stdin.read()
"""


def test_a_role_is_held_once_and_can_be_given_back(tmp_path: Path) -> None:
    role = take_role(tmp_path, "reminding")
    assert role is not None
    assert take_role(tmp_path, "reminding") is None
    assert is_held(tmp_path, "reminding")
    role.close()
    assert not is_held(tmp_path, "reminding")
    again = take_role(tmp_path, "reminding")
    assert again is not None
    again.close()


def test_a_role_that_nobody_ever_took_is_not_held(tmp_path: Path) -> None:
    assert not is_held(tmp_path, "reminding")


def test_two_roles_do_not_get_in_each_others_way(tmp_path: Path) -> None:
    one, other = take_role(tmp_path, "reminding"), take_role(tmp_path, "listening")
    assert one is not None
    assert other is not None
    one.close()
    other.close()


def test_a_killed_process_frees_its_role(tmp_path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HOLDS_IT, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as child:
        assert child.stdout is not None
        assert child.stdout.readline() == b"held\n"
        assert take_role(tmp_path, "reminding") is None
        assert is_held(tmp_path, "reminding")
        child.kill()
    assert not is_held(tmp_path, "reminding")
    role = take_role(tmp_path, "reminding")
    assert role is not None
    role.close()
