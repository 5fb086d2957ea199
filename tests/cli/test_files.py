from pathlib import Path

import pytest

from tests.cli.conftest import Going


@pytest.fixture
def log_file(tmp_path: Path) -> Path:
    file = tmp_path / "log.csv"
    file.write_text("watch,entry,at,found\nNight ferry,wind,2026-11-20T07:30,going\nTray,wind,2026-03-29T02:30,\n")
    return file


def test_an_export_is_imported_as_known(three: Going, tmp_path: Path) -> None:
    file = str(tmp_path / "watches.csv")
    assert three("export", "--kind", "watches", file) == (0, f"Written: {file}.\n", "")
    assert three("import", file, "--kind", "watches") == (0, f"Nothing new in {file}; rows known already: 3.\n", "")


def test_an_export_without_a_file_is_shown(three: Going) -> None:
    three("wound", "Night")
    assert ",Night ferry,wind,2026-11-25T08:25:00+01:00,Europe/Berlin,2,full," in three("export", "--kind", "log")[1]


def test_private_columns_are_written_when_asked_for(going: Going) -> None:
    going("add", "Tray", "--serial", "K-0815")
    assert "K-0815" not in going("export", "--kind", "watches")[1]
    assert "K-0815" in going("export", "--kind", "watches", "--with-private")[1]


def test_a_file_that_is_there_is_left_alone(three: Going, log_file: Path) -> None:
    before = log_file.read_text()
    assert three("export", "--kind", "log", str(log_file)) == (
        3,
        "",
        f"going: {log_file} is there already and was left alone. Choose another name.\n",
    )
    assert log_file.read_text() == before


def test_a_dry_run_reports_each_bad_row_and_changes_nothing(three: Going, log_file: Path) -> None:
    code, said, complaint = three("import", str(log_file), "--kind", "log", "--dry-run")
    assert (code, complaint) == (2, "")
    assert said.splitlines() == [
        ("Line 3, column “watch”: There is no watch called “Tray”. Register it, or import the file of watches first."),
        (
            "Line 3, column “at”: The clocks of Europe/Berlin skipped 2026-03-29 02:30. "
            "Give a time before or after the change."
        ),
        (
            f"{log_file}: new rows that would be taken in: 1; known already: 0; rows with a problem: 1. "
            "Nothing was changed."
        ),
        "A file is taken in as a whole or not at all: put the rows right first.",
    ]
    assert len(three("export", "--kind", "log")[1].splitlines()) == 1


def test_an_import_with_a_bad_row_takes_nothing_and_names_it(three: Going, log_file: Path) -> None:
    code, said, complaint = three("import", str(log_file), "--kind", "log")
    assert (code, said) == (2, "")
    assert complaint.splitlines()[-1] == f"going: Nothing of {log_file} was taken in."
    assert complaint.startswith("going: Line 3, column “watch”: There is no watch called “Tray”.")


def test_an_import_is_one_change(three: Going, log_file: Path) -> None:
    three("add", "Tray")
    log_file.write_text(log_file.read_text().replace("03-29", "04-01"))
    assert three("import", str(log_file), "--kind", "log") == (
        0,
        f"Taken in from {log_file}: new rows: 2; known already: 0. To take it back: going undo\n",
        "",
    )
    assert three("undo")[1] == "Taken back: two windings (Night ferry, Tray), given today 08:25.\n"


def test_a_file_that_is_not_there_is_named(going: Going, tmp_path: Path) -> None:
    file = tmp_path / "none.csv"
    assert going("import", str(file), "--kind", "log") == (
        5,
        "",
        f"going: {file} can't be read: No such file or directory.\n",
    )
    assert going("export", "--kind", "log", str(file / "log.csv"))[0] == 5


def test_a_long_file_tells_a_terminal_how_far_it_is(
    three: Going, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "log.csv"
    lines = [f"Night ferry,sighting,2025-01-01T00:{n // 60:02}:{n % 60:02}Z,going\n" for n in range(700)]
    file.write_text("watch,entry,at,seen\n" + "".join(lines))
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    complaint = three("import", str(file), "--kind", "log", "--dry-run")[2]
    assert complaint == "500 of 700 rows read\r700 of 700 rows read; working on what is new …\n"
