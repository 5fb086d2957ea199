"""Starting the program as a user would, and asking it for a page."""

import re
import subprocess
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/")


@contextmanager
def started(command: Sequence[str], *, folder: Path, env: Mapping[str, str]) -> Iterator[str]:
    """Run a command that serves until told to stop; gives the address it prints."""
    with subprocess.Popen(
        command, cwd=folder, env=dict(env), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        try:
            yield _address(process)
        finally:
            process.terminate()
            process.communicate(timeout=30)


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
