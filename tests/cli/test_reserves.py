"""Reserves on the command line: the same figures as the pages, and as the file form gives."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tests.web.rounds import figures, wound
from tracker.cli.reserves import rows_of
from tracker.collection import open_collection
from tracker.core.peaks import Peak
from tracker.core.spread import Band
from tracker.core.windby import hours_at_risk
from tracker.figures import Figures, collect
from tracker.fileform.reserve import RISKS, answer


@pytest.fixture
def used(going: Going, tmp_path: Path) -> Going:
    going("add", "Night ferry", "--reserve", "42", "--habit", "keep-going")
    going("add", "Long passage", "--reserve-class", "eight-days")
    going("add", "Drawer find")
    for day, words in (
        ("23", "--set"),
        ("24", "--had-stopped --showing 4:37 --set"),
        ("25", "--was-going"),
    ):
        rows = f"watch,entry,at,found,hands,shown\nNight ferry,wind,2026-11-{day}T06:00Z,{_row(words)}\n"
        _take_in(going, tmp_path, rows)
    _take_in(
        going,
        tmp_path,
        "watch,entry,at,found\nLong passage,wind,2026-11-10T06:00Z,\nLong passage,wind,2026-11-15T06:00Z,going\n",
    )
    return going


def _row(words: str) -> str:
    found = "stopped" if "stopped" in words else "going" if "going" in words else ""
    return f"{found},{'set now' if '--set' in words else ''},{'4:37' if '4:37' in words else ''}"


def _take_in(going: Going, tmp_path: Path, rows: str) -> None:
    file = tmp_path / "given.csv"
    file.write_text(rows)
    code, _, complaint = going("import", str(file), "--kind", "log")
    assert (code, complaint) == (0, "")


def _figures(folder: Path) -> list[Figures]:
    store = open_collection(folder, NOW)
    found = collect(store, NOW)
    store.close()
    return found


def test_without_a_name_every_watch_has_its_row(used: Going) -> None:
    code, said, _ = used("reserve")
    assert code == 0
    assert [line.split("  ")[0] for line in said.splitlines()] == [
        "watch",
        "Drawer find",
        "Long passage",
        "Night ferry",
    ]
    assert "a reserve of about eight days" not in said
    assert "from 1 stop" in said


def test_a_name_asks_for_that_watch_alone(used: Going) -> None:
    assert len(used("reserve", "night")[1].splitlines()) == 2


@pytest.mark.parametrize("name", ["Night", "Long", "Drawer"])
def test_the_file_form_gives_the_very_figures_of_the_pages(used: Going, folder: Path, name: str) -> None:
    given = answer(json.loads(used("reserve", name, "--form")[1]))
    (shown,) = (each for each in _figures(folder) if each.watch.nickname.startswith(name))
    for block, band in (("reserve_h", shown.estimate.reserve_h), ("baseline_h", shown.estimate.baseline_h)):
        assert given[block] == pytest.approx({"low": band.low, "mid": band.mid, "high": band.high}, abs=1e-4)
    seen = shown.standing.seen_going_h
    hours = {risk: hours_at_risk(shown.estimate.next_run, float(risk), seen_going_h=seen) for risk in RISKS}
    assert given["wind_by_h"] == pytest.approx(hours, abs=1e-4)
    assert given["decline"]["probability"] == pytest.approx(shown.estimate.fall_probability, abs=1e-6)
    assert (given["evidence"], given["left_out"]) == (shown.estimate.evidence, shown.estimate.left_out)


def test_json_tells_the_same_of_all(used: Going, folder: Path) -> None:
    told = {each["watch"]: each for each in json.loads(used("reserve", "--json")[1])}
    for each in _figures(folder):
        assert told[each.watch.nickname]["reserve_h"]["mid"] == each.estimate.reserve_h.mid


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--form"], "going: A file form holds one watch. Name one."),
        (["Night", "Long", "--form"], "going: A file form holds one watch. Name one."),
        (
            ["Night", "--from", "x.json"],
            "going: A file speaks for itself. Leave the name out, or leave out --from.",
        ),
    ],
)
def test_what_does_not_go_together_is_one_sentence(used: Going, words: list[str], said: str) -> None:
    code, out, complaint = used("reserve", *words)
    assert (code, out, complaint) == (2, "", f"{said}\n")


def test_an_explanation_says_where_it_starts_what_each_run_did_and_what_it_cannot_know(used: Going) -> None:
    code, said, _ = used("reserve", "Night", "--explain")
    assert code == 0
    lines = said.splitlines()
    assert lines[0].startswith("Night ferry: About ")
    for title in ("Where it started", "What each run did, the most telling first", "What this can’t know"):
        assert title in lines
    assert any(line.startswith("Mon 07:00: ") and "by the hands" in line for line in lines), said


def test_an_explanation_as_values_names_runs_by_their_windings(used: Going) -> None:
    _, said, _ = used("reserve", "Night", "--explain", "--json")
    (told,) = json.loads(said)
    assert told["watch"] == "Night ferry"
    assert sorted(len(group["runs"]) for group in told["without"]) == [1, 1]
    assert told["prior_h"]["low"] < told["reserve_h"]["mid"] < told["prior_h"]["high"]


def test_an_explanation_needs_a_name(used: Going) -> None:
    code, _, complaint = used("reserve", "--explain")
    assert code != 0
    assert "No watch is named. Name those to be explained." in complaint


def test_a_reserve_that_may_be_one_of_several_takes_a_row_for_each() -> None:
    humps = (Peak(0.4, Band(57.0, 58.0, 59.0)), Peak(0.6, Band(69.0, 70.0, 71.0)))
    each = figures("Night ferry", wound(2))
    rows = rows_of(replace(each, estimate=replace(each.estimate, one_of_h=humps)))
    assert [row[:2] for row in rows] == [
        ("Night ferry", "about 70 h (69 to 71 h)"),
        ("", "or else about 58 h (57 to 59 h)"),
    ]
