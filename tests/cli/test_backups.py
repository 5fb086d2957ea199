"""Backing up and restoring at the command line."""

from pathlib import Path

import pytest

from tests.cli.conftest import Going


def test_a_backup_there_and_back(three: Going, folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    place = tmp_path_factory.mktemp("elsewhere")
    code, said, _ = three("backup", str(place / "watches.zip"))
    assert (code, said.splitlines()[0]) == (
        0,
        f"Backed up and read again: {place / 'watches.zip'}, 0.1 MB; watches: 3, changes: 4, files: 0.",
    )
    code, _, complained = three("backup", str(place / "watches.zip"))
    assert (code, complained) == (
        3,
        f"going: {place / 'watches.zip'} is there already and was left alone. Choose another name, or say --replace.\n",
    )
    assert three("backup", str(place / "watches.zip"), "--replace")[0] == 0
    listed = three("list")[1]
    code, said, _ = three("restore", str(place / "watches.zip"), "--data", str(place / "new"))
    assert (code, said.splitlines()[0]) == (
        0,
        f"Restored into {place / 'new'}: the collection as it was on 2026-11-25 07:25 UTC.",
    )
    assert three("list", "--data", str(place / "new"))[1] == listed
    assert three("restore", str(place / "watches.zip"))[0] == 3
    code, said, _ = three("restore", str(place / "watches.zip"), "--replace")
    assert code == 0
    aside = folder.with_name(f"{folder.name}.before-restore-20261125T072500Z")
    assert f"What was there before is in {aside}." in said
    assert (aside / "going.db").exists()


def test_without_a_name_it_goes_where_the_daily_ones_go(three: Going, folder: Path) -> None:
    assert three("backup")[0] == 0
    assert [each.name for each in (folder / "backups").iterdir()] == ["going-barrel-20261125T072500Z.zip"]


def test_where_there_is_no_collection_it_makes_none(three: Going, tmp_path_factory: pytest.TempPathFactory) -> None:
    nowhere = tmp_path_factory.mktemp("elsewhere") / "nowhere"
    assert three("backup", "--data", str(nowhere))[::2] == (5, f"going: There is no collection in {nowhere}.\n")
    assert not nowhere.exists()
