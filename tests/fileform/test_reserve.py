import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tracker.core.evidence import at_least, exact
from tracker.core.reserve import Run, estimate, prior_for
from tracker.errors import BadInput, UnknownKey
from tracker.fileform.reserve import EVIDENCE_KEYS, answer, answer_file

DOCUMENT: dict[str, Any] = {
    "stated_h": 42,
    "now_years": 2.5,
    "threshold": 0.10,
    "seen_going_h": 26.0,
    "runs": [
        {"age_years": 0.2, "exact_h": 41.3},
        {"age_years": 0.9, "between_h": [26, 38]},
        {"age_years": 1.2, "at_least_h": 26},
        {"age_years": 1.4, "at_most_h": 38},
        {"age_years": 1.5, "one_of_h": [29.6, 41.6], "within_h": 0.1},
        {"age_years": 1.6, "unknown": True},
        {"age_years": 1.7, "at_least_h": 30, "part_wind": True},
    ],
}


def with_run(**run: object) -> dict[str, Any]:
    return {"now_years": 2.5, "runs": [{"age_years": 1.0, **run}]}


def dated(**other: object) -> dict[str, Any]:
    return {"service": "2024-05-01", "now": "2026-05-01T12:00:00Z", **other}


def test_the_answer_has_the_keys_of_the_form() -> None:
    found = answer(DOCUMENT)
    assert list(found) == ["reserve_h", "baseline_h", "wind_by_h", "decline", "evidence", "left_out"]
    assert [list(found[key]) for key in ("reserve_h", "baseline_h")] == [["low", "mid", "high"]] * 2
    assert list(found["wind_by_h"]) == ["0.01", "0.05", "0.10"]
    assert list(found["decline"]) == ["probability", "sudden_probability", "per_year"]
    assert found["evidence"] == {"exact": 1, "between": 1, "at_least": 1, "at_most": 1, "one_of": 1}
    assert found["left_out"] == 2
    json.dumps(found, allow_nan=False)


def test_the_form_gives_what_the_core_gives() -> None:
    runs = [Run(0.2, exact(41.3)), Run(0.9, at_least(26.0))]
    found = answer(
        {"now_years": 1.0, "runs": [{"age_years": 0.2, "exact_h": 41.3}, {"age_years": 0.9, "at_least_h": 26}]}
    )
    assert found["reserve_h"]["mid"] == round(estimate(runs, prior_for(None), now_years=1.0).reserve_h.mid, 4)


def test_the_wind_by_lies_after_it_was_seen_going() -> None:
    seen, unseen = answer({**DOCUMENT, "seen_going_h": 33.0}), answer({**DOCUMENT, "seen_going_h": 0})
    assert all(seen["wind_by_h"][risk] > max(33.0, unseen["wind_by_h"][risk]) for risk in seen["wind_by_h"])
    assert seen["reserve_h"] == unseen["reserve_h"]


def test_dates_give_what_the_years_between_them_give() -> None:
    by_date = answer(dated(runs=[{"at": "2025-05-01T12:00:00+02:00", "exact_h": 40}]))
    years = {"now_years": 730.5 / 365.25, "runs": [{"age_years": (365 + 10 / 24) / 365.25, "exact_h": 40}]}
    assert by_date == answer(years)


def test_moments_already_widened_are_the_same_as_moments_and_a_width() -> None:
    wide = answer(with_run(one_of_h=[[28.5, 29.5], [40.5, 41.5]]))
    assert wide == answer(with_run(one_of_h=[29, 41], within_h=0.5))


def test_moments_that_overlap_are_joined() -> None:
    assert (
        answer(with_run(one_of_h=[40, 41], within_h=2))["reserve_h"]
        == answer(with_run(between_h=[38, 43]))["reserve_h"]
    )


def test_a_run_may_say_that_it_is_neither_unknown_nor_part() -> None:
    assert answer(with_run(exact_h=40, unknown=False, part_wind=False)) == answer(with_run(exact_h=40))


def test_no_runs_are_taken() -> None:
    assert answer({"now_years": 0}) == answer({"now_years": 0, "runs": []})


ORDINARY = "A number above 0 and up to 1,000,000."
REFUSED: list[tuple[object, str, str]] = [
    ([], "", "/: this is not an object. An object in braces is expected."),
    ({"now_years": "two"}, "/now_years", '/now_years: "two" is not a number. A number from 0 to 1,000.'),
    ({"now_years": None}, "/now_years", "/now_years: null is not a number. A number from 0 to 1,000."),
    ({"now_years": True}, "/now_years", "/now_years: true is not a number. A number from 0 to 1,000."),
    ({"now_years": math.nan}, "/now_years", "/now_years: NaN is out of range. A number from 0 to 1,000."),
    ({"now_years": -1}, "/now_years", "/now_years: -1 is out of range. A number from 0 to 1,000."),
    ({}, "/now_years", "/now_years: this is missing. Either now_years or service and now."),
    ({"service": "2024-05-01"}, "/now", "/now: this is missing. Either now_years or service and now."),
    ({"now_years": 1, "stated_h": 0}, "/stated_h", f"/stated_h: 0 is out of range. {ORDINARY}"),
    ({"now_years": 1, "stated_h": 10**400}, "/stated_h", f"/stated_h: {'1' + '0' * 38}… is out of range. {ORDINARY}"),
    ({"now_years": 1, "threshold": 0}, "/threshold", "/threshold: 0 is out of range. A number above 0 and up to 0.99."),
    (
        {"now_years": 1, "seen_going_h": -2},
        "/seen_going_h",
        "/seen_going_h: -2 is out of range. A number from 0 to 1,000,000.",
    ),
    ({"now_years": 1, "runs": {}}, "/runs", "/runs: this is not a list. A list of runs is expected."),
    ({"now_years": 1, "runs": [7]}, "/runs/0", "/runs/0: this is not an object. An object in braces is expected."),
    (
        {"now_years": 1, "runs": [{"exact_h": 4}]},
        "/runs/0/age_years",
        "/runs/0/age_years: this is missing. Years from the service to the run.",
    ),
    (
        {"now_years": 1, "runs": [{"age_years": 1.5, "exact_h": 4}]},
        "/runs/0/age_years",
        "/runs/0/age_years: 1.5 is out of range. A number from 0 to 1.",
    ),
    (
        {"now_years": 1, "service": "2024-05-01"},
        "/service",
        "/service: years and dates are mixed. Either now_years or service and now.",
    ),
    (
        {"now_years": 1, "runs": [{"at": "2024-05-01", "exact_h": 4}]},
        "/runs/0/at",
        "/runs/0/at: years and dates are mixed. With now_years each run has age_years.",
    ),
    (
        dated(runs=[{"age_years": 1, "exact_h": 4}]),
        "/runs/0/age_years",
        "/runs/0/age_years: years and dates are mixed. With service and now each run has at.",
    ),
    (dated(runs=[{"exact_h": 4}]), "/runs/0/at", "/runs/0/at: this is missing. The moment of the run's full wind."),
    (
        dated(runs=[{"at": "2023-05-01", "exact_h": 4}]),
        "/runs/0/at",
        "/runs/0/at: this is before the service or after now. A moment from service to now.",
    ),
    (dated(now="2024-04-30"), "/now", "/now: this is before the service. A moment at or after service."),
    (
        dated(now="soon"),
        "/now",
        '/now: "soon" is not a date. A date or a date and time, such as 2026-05-01 or 2026-05-01T07:30:00Z.',
    ),
    (
        dated(now=20260501),
        "/now",
        "/now: 20260501 is not a date. A date or a date and time, such as 2026-05-01 or 2026-05-01T07:30:00Z.",
    ),
    (
        with_run(),
        "/runs/0",
        f"/runs/0: this run tells nothing. One of {', '.join(EVIDENCE_KEYS)}, or unknown or part_wind.",
    ),
    (
        with_run(exact_h=40, at_most_h=44),
        "/runs/0/at_most_h",
        "/runs/0/at_most_h: this run already has exact_h. One kind of evidence a run.",
    ),
    (with_run(exact_h=0), "/runs/0/exact_h", f"/runs/0/exact_h: 0 is out of range. {ORDINARY}"),
    (with_run(exact_h=[40]), "/runs/0/exact_h", f"/runs/0/exact_h: [40] is not a number. {ORDINARY}"),
    (
        with_run(between_h=[38, 26]),
        "/runs/0/between_h",
        "/runs/0/between_h: 38 to 26 runs backwards. Low first, then high.",
    ),
    (
        with_run(between_h=38),
        "/runs/0/between_h",
        "/runs/0/between_h: this is not a list. A list of two hours, low and high is expected.",
    ),
    (
        with_run(between_h=[1, 2, 3]),
        "/runs/0/between_h",
        "/runs/0/between_h: 3 numbers are not a pair. Two hours, low and high.",
    ),
    (with_run(between_h=[26, "x"]), "/runs/0/between_h/1", f'/runs/0/between_h/1: "x" is not a number. {ORDINARY}'),
    (with_run(one_of_h=[]), "/runs/0/one_of_h", "/runs/0/one_of_h: this list is empty. One moment or more, in hours."),
    (with_run(one_of_h=[20, -1]), "/runs/0/one_of_h/1", f"/runs/0/one_of_h/1: -1 is out of range. {ORDINARY}"),
    (
        with_run(one_of_h=[[20, 21]], within_h=1),
        "/runs/0/within_h",
        "/runs/0/within_h: pairs carry their own width. Leave it out.",
    ),
    (
        with_run(exact_h=20, within_h=1),
        "/runs/0/within_h",
        "/runs/0/within_h: this goes with one_of_h only. Leave it out.",
    ),
    (with_run(unknown=1), "/runs/0/unknown", "/runs/0/unknown: 1 is neither true nor false. Write true or false."),
]


@pytest.mark.parametrize(
    ("document", "where", "sentence"), REFUSED, ids=[f"{w or '/'} {i}" for i, (_, w, _) in enumerate(REFUSED)]
)
def test_a_wrong_value_is_refused_in_one_sentence_with_its_place(document: object, where: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        answer(document)
    assert (refused.value.field, refused.value.sentence) == (where, sentence)


def test_an_unknown_key_is_refused_by_name() -> None:
    with pytest.raises(UnknownKey) as refused:
        answer({"now_years": 1, "stated": 42})
    known = "stated_h, reserve_class, now_years, service, now, threshold, seen_going_h, runs"
    assert refused.value.sentence == f"“stated” is not a key of this form. Known keys: {known}."


def test_an_unknown_key_in_a_run_is_refused_by_name_and_place() -> None:
    with pytest.raises(UnknownKey, match=r"“/runs/0/exact” is not a key of this form\."):
        answer(with_run(exact=41))


def test_a_file_gives_what_its_document_gives(tmp_path: Path) -> None:
    (tmp_path / "runs.json").write_text(json.dumps(DOCUMENT), encoding="utf-8")
    assert answer_file(str(tmp_path / "runs.json")) == answer(DOCUMENT)


def test_the_form_needs_numpy_and_the_standard_library_only() -> None:
    program = "import sys, tracker.fileform.reserve; print(*sorted({m.split('.')[0] for m in sys.modules}))"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    heavy = {"pydantic", "flask", "sqlite_utils", "scipy", "pandas", "apprise", "apscheduler", "plotly"}
    assert "numpy" in run.stdout.split()
    assert not heavy & set(run.stdout.split())


def test_a_class_of_reserve_stands_in_for_a_stated_one() -> None:
    given = answer({"reserve_class": "three days", "now_years": 0})
    assert given["reserve_h"]["mid"] == pytest.approx(72 * math.exp(-0.02), rel=0.01)


@pytest.mark.parametrize(
    ("form", "said"),
    [
        (
            {"reserve_class": "a week"},
            "/reserve_class: 'a week' is no class of reserve. One of a day or two, three days, eight days, a month.",
        ),
        (
            {"reserve_class": "a month", "stated_h": 700},
            "/reserve_class: a stated reserve is given already. One of the two.",
        ),
    ],
)
def test_a_class_that_can_not_stand_is_refused(form: dict[str, object], said: str) -> None:
    with pytest.raises(BadInput) as refused:
        answer({"now_years": 0, **form})
    assert refused.value.sentence == said
