"""The page of figures: a section of DEVELOPERS.md, written from results.json alone."""

import json
import math
from pathlib import Path
from typing import Any

from tests.soak.goals import (
    BENCH,
    DAILY,
    HANDS,
    RIVALS,
    ROTATES,
    SENSOR,
    SKIPS,
    WEEKEND,
    WITHIN_YEARS,
    Bounds,
    goal,
    verdict,
)

RESULTS = Path(__file__).parent / "results.json"
PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
START, END = "<!-- figures:start -->", "<!-- figures:end -->"
ORDER = (DAILY, SKIPS, ROTATES, HANDS, WEEKEND, BENCH, SENSOR)
EVERY_ENTRY = "at every entry"
PERCENT_LABELS = {
    "held": "90 % band holds the true median (stable, declining)",
    "held after a drop": "the same in the two years after a drop",
    "stops at 1 %": "clean runs that stop before the wind-by at 1 %",
    "stops at 5 %": "… at 5 %",
    "stops at 10 %": "… at 10 %",
    "usable": "wind-by at 5 % over the true median",
    "half-width": "half-width of the 90 % band",
    "error": "median error",
    **{f"error, {rival}": f"… of the {rival}" for rival in RIVALS},
    **{f"stops at {rival}": f"clean runs that stop before the {rival}" for rival in RIVALS},
}
LABELS = {
    **PERCENT_LABELS,
    "false cues": "false cues in 100 watch-years",
    "caught, drop of 25 %": "drops of 25 % seen in time",
    "delay, drop of 25 %": "years until half of them are seen",
    "caught, drop of 15 %": "drops of 15 % seen in time",
    "delay, drop of 15 %": "years until half of them are seen",
    "caught, 5 % a year": "5 % a year seen within 2 years of a tenth lost",
    "delay, 5 % a year": "years from a tenth lost until half are seen",
    "caught, 2 % a year": "2 % a year seen within 2 years of a tenth lost",
    "delay, 2 % a year": "years from a tenth lost until half are seen",
}
WRONG = {
    "held": "90 % band holds",
    "stops at 5 %": "stops before the wind-by at 5 %",
    "error": "median error",
    "usable": "wind-by at 5 % over the median",
    "false cues": "false cues in 100 years",
}

WHY = {
    "Weibull scatter": "Such runs have a longer tail to the left than the log-normal ones that the model thinks of. With a sensor the "
    "level is known so well that this shape is all that is left to be wrong about, and no log of a few hundred runs tells it: "
    "the Watch page says so.",
    "forgotten, asked": "A forgotten winding that lengthens a run by no more than is believed of it is not asked about: the "
    "reserve is then told too long, and runs noted rightly look like a fall.",
    "forgotten, never answered": "A daily watch noted as going after 48 h is one that lasts so long or one that was wound meanwhile: both "
    "leave the same notes. Only its owner can tell, so the program asks; beside it stands what an answer mends.",
    "seasons": "A reserve that swings by 2 % over the year is no straight line; the band is of the line.",
}
"""Why a goal is missed, by what is wrong with the life."""

Row = dict[str, Any]


def written(page: str, results: Row) -> str:
    """The page with its section of figures as these results give it."""
    before, _, rest = page.partition(START)
    return f"{before}{START}\n{section(results)}{END}{rest.partition(END)[2]}"


def section(results: Row) -> str:
    """What stands between the two marks."""
    rows: list[Row] = results["figures"]
    return "\n".join([_introduction(results), *_habits(rows), "", *_misfits(results), "", _evenness(results), ""])


def _introduction(results: Row) -> str:
    rows: list[Row] = results["figures"]
    counts = {
        name: _from_to(row["watches"] for row in rows if row["misfit"] == "none" and row["figure"] == name)
        for name in (
            "error",
            "caught, drop of 25 %",
            "caught, drop of 15 %",
            "caught, 5 % a year",
            "caught, 2 % a year",
        )
    }
    return f"""Simulated watches and owners (`make soak`, seed `{results["seed"]}`, kept for this page; model {results["model"]}): {counts["error"]} stable
watches a habit over six years, asked every {results["months"]} months; {counts["caught, drop of 25 %"]} with a drop of 25 %, {counts["caught, drop of 15 %"]} of 15 %, \
{counts["caught, 5 % a year"]} losing 5 % a year,
{counts["caught, 2 % a year"]} losing 2 %. What is true of them and what their owners do is told in `truth.py` and `life.py`. Figures
are ± one standard error, by differences between watches. After the semicolon stands the goal, *met*, *missed*, or *not contradicted*
at 95 %. A stop is that of a clean run wound at the age of the question; a cue is raised and cleared by the program's own rule.
Runs too long to be believed are held back as the program does it; their owners answer only where *asked* stands, and then truly.
Below the estimate's own stand figures of simpler rules.
"""


def _evenness(results: Row) -> str:
    shown = ", ".join(f"{name} {chance:.2f}" for name, chance in results["even"].items())
    return f"""Simulation-based calibration (Talts et al. 2018), {results["draws"]} watches drawn from the prior with 15 mixed runs: chance of
counts as uneven as those found, in ten bins of the quantile at which the truth lies (goal: above 0.01): {shown}."""


def _from_to(counts: Any) -> str:
    known = sorted(set(counts))
    return "no" if not known else str(known[0]) if len(known) == 1 else f"{known[0]} to {known[-1]}"


def _habits(rows: list[Row]) -> list[str]:
    """One table: figures down, habits across, the simpler rules at the end."""
    known = {(row["figure"], row["habit"]): row for row in rows if row["misfit"] == "none"}
    lines = [f"| | {' | '.join(ORDER)} |", f"|---|{'---|' * len(ORDER)}"]
    for figure, label in LABELS.items():
        cells = [_cell(known.get((figure, habit)), goal(figure, habit), habit) for habit in ORDER]
        lines.append(f"| {label} | {' | '.join(cells)} |")
    return lines


def _misfits(results: Row) -> list[str]:
    """Lives that are not as the model thinks."""
    rows: list[Row] = results["figures"]
    wrong = {(row["misfit"], row["habit"], row["figure"]): row for row in rows if row["misfit"] != "none"}
    counts = _from_to(row["watches"] for row in wrong.values() if row["misfit"] != EVERY_ENTRY)
    often = _from_to(row["watches"] for row in wrong.values() if row["misfit"] == EVERY_ENTRY)
    lines = [
        f"Lives that are not as the model thinks ({counts} stable watches a line, asked every {3 * results['months']} months); with the goals of a life",
        f"as it thinks. Those asked at every entry that ends a run ({often} watches a line) are such lives.",
        "",
        f"| | habit | {' | '.join(WRONG.values())} |",
        f"|---|---|{'---|' * len(WRONG)}",
    ]
    for misfit in sorted({key[0] for key in wrong}, key=lambda word: (word != EVERY_ENTRY, word)):
        for habit in ORDER:
            if (misfit, habit, "held") in wrong:
                cells = [_cell(wrong.get((misfit, habit, figure)), goal(figure, habit), habit) for figure in WRONG]
                lines.append(f"| {misfit} | {habit} | {' | '.join(cells)} |")
    missed = {line.split("|")[1].strip() for line in lines if " missed |" in line}
    return [*lines, "", *(f"{misfit}: {why}" for misfit, why in WHY.items() if misfit in missed)]


def _cell(row: Row | None, bounds: Bounds | None, habit: str) -> str:
    if row is None:
        return ""
    name, value, error = row["figure"], row["value"], row["se"]
    if value is None:
        return "fewer than half" if name.startswith("delay") else "nothing to go by"
    scale, unit = (1.0, "") if name.startswith(("false", "delay")) else (100.0, " %")
    shown = _figure(scale * value) + ("" if error is None else f" ± {_figure(scale * error)}") + unit
    if name.startswith("caught, drop"):
        shown += f" within {WITHIN_YEARS.get(habit, 1.0):g} y"
    return (
        shown
        if bounds is None
        else f"{shown}; {_goal(bounds, scale)} {verdict(value, math.inf if error is None else error, row['watches'], bounds)}"
    )


def _goal(bounds: Bounds, scale: float) -> str:
    low, high = bounds
    if low <= 0.0:
        return f"≤ {scale * high:g}"
    return f"≥ {scale * low:g}" if high >= 1.0 else f"{scale * low:g}–{scale * high:g}"


def _figure(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 20.0 else f"{value:.1f}" if abs(value) >= 1.0 else f"{value:.2f}"


def stored() -> Row:
    """The results last written."""
    found: Row = json.loads(RESULTS.read_text(encoding="utf-8"))
    return found
