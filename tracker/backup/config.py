"""going.toml as a backup holds it: without what is secret in it."""

import re
from pathlib import Path

SECRET = re.compile(r"^(\s*)([\w.\"'-]*(?:password|secret|token|key)[\w\"'-]*)(\s*=).*$", re.IGNORECASE | re.MULTILINE)
NOT_SECRET = {"key_file"}


def without_secrets(path: Path) -> str | None:
    """The text of going.toml with each line that gives a secret turned into a remark; None where there is no file.

    Raises:
        OSError: the file can't be read.
    """
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except FileNotFoundError:
        return None
    return SECRET.sub(_remarked, text)


def _remarked(line: "re.Match[str]") -> str:
    if line[2] in NOT_SECRET:
        return line[0]
    return f"{line[1]}# {line[2]} was left out of the backup: write it in again."
