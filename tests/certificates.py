"""Certificates for tests, made by Debian's openssl; skipped without it unless GOING_NEEDS_BROKER=1."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

KEY = ("-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes")


def _openssl(*words: str | Path) -> None:
    path = shutil.which("openssl")
    if path is None:
        if os.environ.get("GOING_NEEDS_BROKER") == "1":
            pytest.fail("GOING_NEEDS_BROKER=1, and there is no openssl")
        pytest.skip("needs openssl")
    subprocess.run([path, *words], check=True, capture_output=True)


def authority(folder: Path, name: str) -> Path:
    """A new authority: its certificate, `name`.pem, beside its key."""
    own = folder / f"{name}.pem"
    _openssl(
        "req", "-x509", *KEY, "-days", "2", "-subj", f"/CN={name}", "-keyout", own.with_suffix(".key"), "-out", own
    )
    return own


def signed(by: Path, name: str, *, stands_for: str) -> tuple[Path, Path]:
    """A certificate that this authority signed for a name (as `IP:127.0.0.1`), and its key."""
    own = by.with_name(f"{name}.pem")
    key, asked, more = own.with_suffix(".key"), own.with_suffix(".csr"), own.with_suffix(".ext")
    more.write_text(f"subjectAltName={stands_for}\n")
    _openssl("req", "-new", *KEY, "-subj", f"/CN={name}", "-keyout", key, "-out", asked)
    signer = ("-CA", by, "-CAkey", by.with_suffix(".key"), "-CAcreateserial")
    _openssl("x509", "-req", "-in", asked, *signer, "-days", "2", "-extfile", more, "-out", own)
    return own, key
