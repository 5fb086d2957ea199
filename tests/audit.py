"""What is known against the libraries we pin: `python -m tests.audit LOCK …`, strict.

pip-audit alone calls a library it could not look up "no known vulnerabilities"; here that is "not reached" (exit 2), so
that silence is never taken for a clean answer.
"""

import json
import subprocess
import sys
from collections.abc import Sequence
from typing import Any


def verdict(answer: str) -> tuple[int, list[str]]:
    """Exit status and what to say of pip-audit's JSON: 0 nothing known, 1 something known, 2 not all could be looked up."""
    try:
        libraries: list[dict[str, Any]] = json.loads(answer)["dependencies"]
    except (ValueError, KeyError, TypeError):
        return 2, ["The list of known weaknesses was not reached: nothing is known of any library."]
    known = [
        f"{each['name']} {each['version']}: {weakness['id']}, mended in {' or '.join(weakness['fix_versions']) or 'no version yet'}"
        for each in libraries
        for weakness in each.get("vulns", [])
    ]
    unasked = sorted({each["name"] for each in libraries if "vulns" not in each})
    if unasked or not libraries:
        some = f"{', '.join(unasked[:5])}{', …' if len(unasked) > 5 else ''}" if unasked else "the lock names none"
        return 2, [
            *known,
            f"Not reached for {len(unasked)} of {len(libraries)} libraries ({some}): nothing is known of these.",
        ]
    return (1, known) if known else (0, [f"{len(libraries)} libraries looked up, nothing known against them."])


def audited(lock: str) -> tuple[int, list[str]]:
    """The verdict on one lock, asked of the package index now."""
    program = [
        sys.executable,
        "-m",
        "pip_audit",
        "--format",
        "json",
        "--progress-spinner",
        "off",
        "--require-hashes",
        "--disable-pip",
    ]
    asked = subprocess.run([*program, "-r", lock], capture_output=True, text=True, check=False)
    return verdict(asked.stdout)


def main(locks: Sequence[str]) -> int:
    worst = 0
    for lock in locks:
        status, lines = audited(lock)
        sys.stdout.write("\n  ".join([f"{lock}:", *lines]) + "\n")
        worst = max(worst, status)
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
