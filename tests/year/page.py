"""The table of the simulated year: a section of README.md, written from results.json alone."""

import json
import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from tests.soak.goals import Bounds, verdict
from tests.year.policies import ALONE, KNOWING, PLAN, POLICIES, STATED

RESULTS = Path(__file__).parent / "results.json"
PAGE = Path(__file__).parents[2] / "README.md"
START, END = "<!-- year:start -->", "<!-- year:end -->"
ASKS = (PLAN, ALONE, KNOWING)
"""Those that go by a wind-by."""
COLUMNS = (
    "stops a year",
    "stops in 100 runs",
    "stopped before the wind-by (accepted)",
    "windings a week",
    "rounds a week",
    "last calls answered",
    "messages a week",
    "of these unneeded",
)

FEWER_STOPS, FEWER_ROUNDS, FEW_WINDINGS = (
    f"fewer stops than by {STATED}",
    f"fewer rounds than by {ALONE}",
    f"windings at most 5 % above {KNOWING}",
)
NEAR_SE = 1.96
"""A figure no more than so many standard errors from its bound shows nothing."""
OFF_FOR_GOOD = (
    "one cause, seen with other owners: after one odd short run a watch of which it is never noted that it was going may be given a wind-by of a day and a half; "
    "wound every day from then on it shows no better, and a round is opened each day for its sake. A look would tell, but "
    "these owners let no watch stop"
)
WHY = {
    FEWER_ROUNDS: {
        "some last a day and a half": "some watch asks for every morning, whatever the rule",
        "all last two days and a half": OFF_FOR_GOOD,
    },
    FEW_WINDINGS: {"all last two days and a half": OFF_FOR_GOOD},
}
"""Why a goal is missed, by household; each was seen in years of owners that are not in the table."""

Record = dict[str, Any]
Found = tuple[float, float]
"""A figure and its standard error."""


def written(page: str, records: Sequence[Record]) -> str:
    """The page with its table as these tallies give it."""
    before, _, rest = page.partition(START)
    return f"{before}{START}\n{section(records)}{END}{rest.partition(END)[2]}"


def section(records: Sequence[Record]) -> str:
    """What stands between the two marks."""
    lines = []
    for kind in dict.fromkeys(record["task"][1] for record in records):
        own = [record for record in records if record["task"][1] == kind]
        lines += [_heading(kind, own), "", *_table(own), "", *_goals(kind, own), ""]
    return "\n".join(lines)


def _heading(kind: str, own: Sequence[Record]) -> str:
    models = ", ".join(sorted({str(record["model"]) for record in own}))
    weeks = " or ".join(sorted({str(record["weeks"]) for record in own}))
    owners = len({record["task"][0] for record in own})
    return f"Fourteen watches, {kind} ({owners} owners, {weeks} weeks each; model {models}; ± one standard error):"


def _table(own: Sequence[Record]) -> list[str]:
    rows = [f"| | {' | '.join(COLUMNS)} |", f"|---|{'---|' * len(COLUMNS)}"]
    for policy in POLICIES:
        each = [record for record in own if record["task"][2] == policy]
        rows.append(f"| {policy} | {' | '.join(_cells(policy, each))} |")
    return rows


def _cells(policy: str, each: Sequence[Record]) -> Iterable[str]:
    yield _shown(a_year(each, "stops"))
    yield _shown(percent(each, "stops", "windings"))
    yield _by_wind_by(each) if policy in ASKS else ""
    yield _shown(a_week(each, "windings"))
    yield _shown(a_week(each, "rounds"))
    yield _shown(a_week(each, "answered"))
    yield _shown(a_week(each, "digests", "calls"))
    yield _shown(a_week(each, "needless_digests", "needless_calls"))


def _by_wind_by(each: Sequence[Record]) -> str:
    early, accepted = percent(each, "early", "wind_bys"), percent(each, "accepted", "wind_bys")
    return f"{_shown(early)} % ({accepted[0]:.1f} %)"


def _shown(found: Found) -> str:
    value, error = found
    return f"{value:.0f} ± {error:.0f}" if value >= 100 else f"{value:.1f} ± {error:.1f}"


def _goals(kind: str, own: Sequence[Record]) -> list[str]:
    by_policy = {policy: [record for record in own if record["task"][2] == policy] for policy in POLICIES}
    lines = []
    for said, shown, found, bounds in _held_to(by_policy):
        judged = verdict(*found, len(by_policy[PLAN]), bounds)
        if judged == "met" and min(abs(found[0] - bound) for bound in bounds) < NEAR_SE * found[1]:
            judged = "met within its error: not shown"
        why = WHY.get(said, {}).get(kind) if judged == "missed" else None
        lines.append(f"- {said}: {shown}, {judged}" + (f" ({why})" if why else ""))
    return lines


def _held_to(by_policy: dict[str, list[Record]]) -> Iterable[tuple[str, str, Found, Bounds]]:
    """Each goal: what is asked, the figure as shown, the figure, its bounds; owners compared with themselves."""
    plan, below = by_policy[PLAN], (-math.inf, -1e-9)
    early = ratio([(each["early"], each["accepted"]) for each in plan])
    yield "runs that stop before a wind-by, no more than accepted", f"{_times(early)} as many", early, (0.0, 1.0)
    stops = _more(plan, by_policy[STATED], "stops")
    yield FEWER_STOPS, f"{_signed(stops)} a year", stops, below
    rounds = _more(plan, by_policy[ALONE], "rounds")
    yield FEWER_ROUNDS, f"{_signed(rounds)} a year", rounds, below
    windings = ratio(list(zip(_all(plan, "windings"), _all(by_policy[KNOWING], "windings"), strict=True)))
    yield FEW_WINDINGS, f"{_times(windings)} as many", windings, (0.0, 1.05)


def _more(these: Sequence[Record], those: Sequence[Record], name: str) -> Found:
    """How many more a year, owner by owner."""
    weeks = _all(these, "weeks")
    both = zip(_all(these, name), _all(those, name), weeks, strict=True)
    return mean([(one - other) * 52.0 / week for one, other, week in both])


def _signed(found: Found) -> str:
    value, error = found
    return f"{value:+.1f} ± {error:.1f}".replace("-", "−")


def _times(found: Found) -> str:
    return f"{found[0]:.2f} ± {found[1]:.2f} times"


def a_year(each: Sequence[Record], *names: str) -> Found:
    """So many a year of 52 weeks."""
    value, error = a_week(each, *names)
    return 52.0 * value, 52.0 * error


def a_week(each: Sequence[Record], *names: str) -> Found:
    """So many of these together a week."""
    return ratio([(sum(record[name] for name in names), record["weeks"]) for record in each])


def percent(each: Sequence[Record], part: str, whole: str) -> Found:
    """The share of a whole, in percent."""
    value, error = ratio([(record[part], record[whole]) for record in each])
    return 100.0 * value, 100.0 * error


def ratio(owners: Sequence[tuple[float, float]]) -> Found:
    """A sum over a sum, its error by the differences between owners."""
    above, below = sum(one for one, _ in owners), sum(other for _, other in owners)
    value = above / below
    _, spread = mean([one - value * other for one, other in owners])
    return value, spread * len(owners) / below


def mean(values: Sequence[float]) -> Found:
    """The mean and its standard error; endless for fewer than two."""
    count, value = len(values), math.fsum(values) / len(values)
    if count < 2:
        return value, math.inf
    return value, math.sqrt(math.fsum((each - value) ** 2 for each in values) / (count - 1) / count)


def _all(each: Sequence[Record], name: str) -> list[float]:
    """Owner by owner."""
    return [record[name] for record in sorted(each, key=lambda record: int(record["task"][0]))]


def stored() -> list[Record]:
    """The tallies last written."""
    found: list[Record] = json.loads(RESULTS.read_text(encoding="utf-8"))
    return found
