"""Which of the three set-ups is meant."""

from pathlib import Path

import pytest

from tracker import reach
from tracker.errors import BadInput
from tracker.reach import Reach, reach_of

FILE = '[web]\nnames = ["watches.example", "Tray"]\ntrusted_proxy = "127.0.0.1"\n'


def asked(folder: Path, host: str | None = None, *, home: bool = False, **variables: str) -> Reach:
    return reach_of(folder, host, home=home, environment=variables)


@pytest.mark.parametrize("host", [None, "127.0.0.1", "localhost", "::1", "127.0.0.2"])
def test_this_machine_alone_asks_nobody_to_log_in(tmp_path: Path, host: str | None) -> None:
    found = asked(tmp_path, host)
    assert (found.logs_in, found.names) == (False, ())
    assert len(found.hosts) == 1


def test_home_is_this_machine_and_its_address_and_asks_for_a_log_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reach, "home_address", lambda: "192.168.1.20")
    expected = Reach(("127.0.0.1", "192.168.1.20"), logs_in=True, names=("192.168.1.20",))
    assert asked(tmp_path, home=True) == asked(tmp_path, "192.168.1.20") == expected


def test_a_trusted_proxy_asks_for_a_log_in_though_only_this_machine_is_bound(tmp_path: Path) -> None:
    (tmp_path / "going.toml").write_text(FILE)
    expected = Reach(("127.0.0.1",), logs_in=True, names=("watches.example", "tray"), trusted_proxy="127.0.0.1")
    assert asked(tmp_path) == expected
    (tmp_path / "going.toml").unlink()
    assert asked(tmp_path, GOING_WEB_NAMES="watches.example,Tray", GOING_WEB_TRUSTED_PROXY="127.0.0.1") == expected


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "going.example"])  # noqa: S104 -- refused is the point
def test_an_address_of_everything_or_nothing_is_refused(tmp_path: Path, host: str) -> None:
    with pytest.raises(BadInput, match="is no address of this machine"):
        asked(tmp_path, host)


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ('[web]\nnames = ["http://watches.example"]\n', "names"),
        ('[web]\nnames = "watches.example"\n', "names"),
        ('[web]\ntrusted_proxy = "everyone"\n', "trusted_proxy"),
        ('[web]\nproxy = "127.0.0.1"\n', "proxy"),
    ],
)
def test_what_cannot_be_taken_is_named(tmp_path: Path, text: str, field: str) -> None:
    (tmp_path / "going.toml").write_text(text)
    with pytest.raises(BadInput) as refused:
        asked(tmp_path)
    assert refused.value.field == field
