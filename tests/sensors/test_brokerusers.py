import stat
from pathlib import Path

from sensors.brokerusers import FILE_NAME, LISTENER, SENSORS, users_of


def test_passwords_are_made_once_and_their_owners_alone(tmp_path: Path) -> None:
    first = users_of(tmp_path)
    assert set(first) == {LISTENER, SENSORS}
    assert len(set(first.values())) == 2
    assert users_of(tmp_path) == first
    assert stat.S_IMODE((tmp_path / FILE_NAME).stat().st_mode) == 0o600
