"""Starting the program as a user would, and asking it for a page."""

import re
import subprocess
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/")


@dataclass(frozen=True)
class Server:
    """A process that serves, and the address it printed."""

    process: "subprocess.Popen[str]"
    address: str


@contextmanager
def started(command: Sequence[str], *, folder: Path, env: Mapping[str, str]) -> Iterator[str]:
    """Run a command that serves until told to stop; gives the address it prints."""
    with serving(command, folder=folder, env=env) as server:
        yield server.address


@contextmanager
def serving(command: Sequence[str], *, folder: Path, env: Mapping[str, str]) -> Iterator[Server]:
    """As `started`, with the process itself, which a test may kill."""
    with subprocess.Popen(
        command, cwd=folder, env=dict(env), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        try:
            yield Server(process, _address(process))
        finally:
            process.terminate()
            process.communicate(timeout=30)


def children(pid: int) -> list[int]:
    """The living processes whose parent this one is."""
    living = [int(process.name) for process in Path("/proc").glob("[0-9]*") if _parent(int(process.name)) == pid]
    return sorted(living)


def lives(pid: int) -> bool:
    """Whether there is such a process; one that only waits to be buried is none."""
    return _parent(pid) is not None


def _parent(pid: int) -> int | None:
    try:
        state, parent = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[:2]
    except OSError:
        return None
    return None if state == "Z" else int(parent)


def _address(process: "subprocess.Popen[str]") -> str:
    said = []
    for line in process.stdout or ():
        said.append(line)
        if found := ADDRESS.search(line):
            return found[0]
    raise AssertionError("no address was printed:\n" + "".join(said))


def fetch(address: str) -> tuple[int, str, str]:
    """Status, content type and text of a page."""
    with urllib.request.urlopen(address, timeout=30) as answer:  # noqa: S310 -- our own address
        return answer.status, answer.headers.get_content_type(), answer.read().decode()
