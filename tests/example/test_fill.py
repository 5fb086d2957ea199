from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from tests.thorough import THOROUGH
from tracker.collection import open_collection
from tracker.commands.base import EntryCommand, Who
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.commands.register import RegisterWatch
from tracker.core.rundown import RunDown
from tracker.example.fill import commands, fill, lives, watch_uid
from tracker.example.life import Lived
from tracker.example.sketch import spring_sketch
from tracker.example.truth import truth
from tracker.figures import Figures, collect
from tracker.photofile import attachable, place
from tracker.store import portraits, register, services
from tracker.store.attachments import by_entry
from tracker.store.benchtests import open_tests
from tracker.store.command_log import is_example
from tracker.store.store import Store
from tracker.store.writer import LOG_TABLES

NOW = datetime(2026, 11, 25, 7, 25, 40, tzinfo=UTC)
LONDON = "Europe/London"

WHENS = [
    (NOW, LONDON),
    (datetime(2026, 11, 25, 0, 0, tzinfo=UTC), LONDON),
    (datetime(2026, 3, 29, 1, 30, tzinfo=UTC), LONDON),
    (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), LONDON),
    (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), LONDON),
    (datetime(2028, 2, 29, 12, 0, tzinfo=UTC), LONDON),
    (datetime(2027, 1, 1, 0, 0, tzinfo=UTC), "Australia/Lord_Howe"),
    (datetime(2026, 7, 5, 18, 0, tzinfo=UTC), "Asia/Kolkata"),
    (datetime(2026, 7, 6, 5, 0, tzinfo=UTC), "Pacific/Auckland"),
    (datetime(2026, 7, 6, 3, 0, tzinfo=UTC), "America/St_Johns"),
]
FILLED = [WHENS[0], WHENS[3], WHENS[6]] if THOROUGH else [WHENS[3]]


@cache
def _lives(now: datetime, zone: str) -> dict[str, Lived]:
    return lives(now, ZoneInfo(zone))


def _entries(now: datetime, zone: str) -> Sequence[EntryCommand]:
    return [entry for life in _lives(now, zone).values() for entry in life.entries]


def _of_each_watch(entries: Sequence[EntryCommand]) -> dict[str, list[EntryCommand]]:
    return {
        uid: [entry for entry in entries if entry.watch_uid == uid] for uid in {entry.watch_uid for entry in entries}
    }


@dataclass(frozen=True)
class Example:
    """A filled collection, the moment of its filling and where its keeper lives."""

    store: Store
    now: datetime
    zone: str


@pytest.fixture(scope="module", params=FILLED, ids=lambda when: f"{when[0]:%d %B} {when[1]}")
def example(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Example]:
    now, zone = request.param
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", zone)
        store = open_collection(tmp_path_factory.mktemp("example"), now)
    fill(store, now)
    yield Example(store, now, zone)
    store.close()


@pytest.fixture
def known(example: Example) -> dict[str, Figures]:
    return {figures.watch.nickname: figures for figures in collect(example.store, example.now)}


def _rows(store: Store) -> Counter[str]:
    tables = ("watch", *LOG_TABLES, "attachment", "portrait", "barrel", "bench_test", "command_log")
    return Counter({table: store.reading().table(table).count for table in tables})


def test_every_command_is_taken(example: Example) -> None:
    rows = _rows(example.store)
    assert rows["watch"] == 15
    assert rows["command_log"] == sum(rows.values()) - rows["command_log"]
    assert 3_000 < rows["command_log"] < 7_000


def test_the_collection_is_known_for_an_example(example: Example, store: Store) -> None:
    assert is_example(example.store.reading())
    assert not is_example(store.reading())


def test_filling_again_changes_nothing(example: Example) -> None:
    before = _rows(example.store)
    fill(example.store, example.now)
    assert _rows(example.store) == before


def test_a_collection_of_somebody_is_not_filled(store: Store, who: Who, now: datetime) -> None:
    submit(store, [RegisterWatch(nickname="Mine")], who)
    fill(store, now)
    assert [watch.nickname for watch in register.watches(store.reading())] == ["Mine"]
    assert not is_example(store.reading())


def test_the_same_moment_gives_the_same_commands() -> None:
    first, again = (commands(NOW, ZoneInfo(LONDON)) for _ in range(2))
    assert [command.model_dump() for command in first] == [command.model_dump() for command in again]


def test_another_day_gives_another_past_of_the_same_watches() -> None:
    first, other = _entries(*WHENS[0]), _entries(*WHENS[5])
    assert not {entry.uid for entry in first} & {entry.uid for entry in other}
    assert {entry.watch_uid for entry in first} == {entry.watch_uid for entry in other}


@pytest.mark.parametrize(("now", "zone"), WHENS)
def test_nothing_lies_in_the_future_and_the_past_is_three_years_long(now: datetime, zone: str) -> None:
    entries = _entries(now, zone)
    assert max(entry.at for entry in entries) <= now
    assert 1_095 <= (now - min(entry.at for entry in entries if isinstance(entry, LogWind))).days <= 1_097
    assert 3_000 < len(entries) < 7_000


@pytest.mark.parametrize(("now", "zone"), WHENS)
def test_the_notes_of_a_watch_are_in_order_and_never_at_one_moment(now: datetime, zone: str) -> None:
    for entries in _of_each_watch(_entries(now, zone)).values():
        assert all(earlier.at < later.at for earlier, later in pairwise(entries))


@pytest.mark.parametrize(("now", "zone"), WHENS)
def test_every_uid_is_given_once(now: datetime, zone: str) -> None:
    uids = [entry.uid for entry in _entries(now, zone)]
    assert len(set(uids)) == len(uids)


def test_every_kind_of_note_occurs() -> None:
    entries = _entries(NOW, LONDON)
    winds = [entry for entry in entries if isinstance(entry, LogWind)]
    seen = {entry.seen for entry in entries if isinstance(entry, LogSighting)}
    assert {type(entry) for entry in entries} == {LogWind, LogSighting, LogWear, LogWinder, LogService}
    assert {wind.amount for wind in winds} == {"full", "part", "unsure"}
    assert {wind.found for wind in winds} == {"going", "stopped", "not noticed"}
    assert {wind.hands for wind in winds} == {"set now", "left", "not set", "unknown"}
    assert seen == {"going", "stopped", "stopped on purpose", "not noticed"}
    assert {entry.within_min for entry in entries} == {0, 20, 180}


def test_notes_that_are_not_the_rule_are_not_the_rule() -> None:
    winds = [entry for entry in _entries(NOW, LONDON) if isinstance(entry, LogWind)]
    parts = [wind for wind in winds if wind.amount != "full"]
    late = [wind for wind in winds if wind.within_min]
    unnoted = sum(life.unnoted for life in _lives(NOW, LONDON).values())
    assert 10 <= len(parts) <= 150
    assert 50 <= len(late) <= 500
    assert 1 <= unnoted <= 30


def test_a_customers_watch_has_its_dates_a_service_with_parts_and_a_picture_that_is_kept(example: Example) -> None:
    store = example.store
    (job,) = [watch for watch in register.watches(store.reading()) if watch.customers]
    assert job.came_in is not None
    assert job.promised_for is not None
    assert job.came_in < example.now.date() < job.promised_for
    newest, *_ = services.services(store.reading(), job.uid)
    assert [part.before is not None and part.after is not None for part in newest["parts"]] == [True, False]
    (file,) = by_entry(store.reading(), job.uid)[newest["uid"]]
    assert file["media_type"] == "image/png"
    assert place(store.path.parent, file["sha256"]).read_bytes() == attachable(spring_sketch()).data


def test_two_of_its_watches_have_photographs_that_are_kept(example: Example) -> None:
    store = example.store
    first = portraits.first_of_each(store.reading())
    assert set(first) == {watch_uid("Bar buoy"), watch_uid("Night ferry")}
    for uid in first.values():
        row = portraits.portrait(store.reading(), uid)
        assert row is not None
        assert place(store.path.parent, row["sha256"]).exists()
        assert place(store.path.parent, row["small_sha256"]).exists()


def test_hands_are_read_more_than_two_hundred_times() -> None:
    shown = [entry for entry in _entries(NOW, LONDON) if isinstance(entry, LogWind | LogSighting) and entry.shown]
    assert len(shown) > 200
    assert any(entry.shown_date for entry in shown)


def _wrong(run: RunDown, true_h: float) -> bool:
    # Notes are kept to the second.
    slack_h = 2 / 3600
    return not any(low - slack_h <= true_h <= high + slack_h for low, high in run.evidence.spans_h)


def test_the_run_downs_hold_the_truth_but_for_forgotten_windings(example: Example, known: dict[str, Figures]) -> None:
    told = wrong = forgotten = 0
    for nickname, life in _lives(example.now, example.zone).items():
        runs = [run for run in known[nickname].history.runs if run.evidence.spans_h and run.wind_uid in life.runs_h]
        told, forgotten = told + len(runs), forgotten + life.unnoted
        wrong += sum(_wrong(run, life.runs_h[run.wind_uid]) for run in runs)
    assert told > 2_500
    assert wrong <= forgotten <= 0.03 * told


def test_the_log_of_the_daily_winder_is_all_at_least(known: dict[str, Figures]) -> None:
    kinds = Counter(run.evidence.kind for run in known["Night ferry"].history.runs)
    assert set(kinds) == {"at_least", "none"}
    assert kinds["at_least"] > 900


def test_one_is_found_stopped_with_its_hands_read_again_and_again(known: dict[str, Figures]) -> None:
    assert sum(run.evidence.kind == "one_of" for run in known["Bar buoy"].history.runs) > 50


def test_hands_are_never_read_in_a_way_that_cannot_be(known: dict[str, Figures]) -> None:
    assert [figures.history.flaws for figures in known.values()] == [()] * 15


def test_every_state_occurs_today(known: dict[str, Figures]) -> None:
    words = {figures.standing.word for figures in known.values()}
    current = [figures.history.current for figures in known.values() if figures.history.current]
    assert words == {"going", "going, probably", "may have stopped", "stopped", "unknown"}
    assert {run.amount for run in current} == {"full", "part", "unsure"}


def test_one_kept_watch_wants_a_look_and_one_counts_from_its_turns(known: dict[str, Figures]) -> None:
    looks = {nickname for nickname, figures in known.items() if figures.watch.kept and figures.standing.look}
    assert looks == {"Ebb tide"}
    lamp_room = known["Lamp room"]
    assert lamp_room.history.current is not None
    assert lamp_room.wound is not None
    assert lamp_room.standing.wind_by is not None


def test_one_that_a_winder_keeps_going_by_its_notes_wants_no_winding(known: dict[str, Figures]) -> None:
    spring_tide = known["Spring tide"]
    assert spring_tide.watch.kept
    assert (spring_tide.standing.word, spring_tide.standing.wind_by) == ("going, probably", None)


def test_two_to_five_want_winding_within_a_day(example: Example, known: dict[str, Figures]) -> None:
    kept = [figures.standing.wind_by for figures in known.values() if figures.watch.kept]
    soon = [wind_by for wind_by in kept if wind_by and wind_by - example.now < timedelta(hours=24)]
    assert 2 <= len(soon) <= 5


def test_the_estimates_are_near_the_truth_where_much_is_known(example: Example, known: dict[str, Figures]) -> None:
    true = truth(example.now)
    for nickname in ("Bar buoy", "Workshop spare", "Fog signal", "Lamp room"):
        assert known[nickname].estimate.reserve_h.mid == pytest.approx(true[nickname].reserve_h, rel=0.05)


def test_the_truth_names_every_watch(example: Example) -> None:
    watches = register.watches(example.store.reading())
    assert {watch.nickname for watch in watches} == set(truth(NOW))
    assert {watch.uid for watch in watches} == {watch_uid(nickname) for nickname in truth(NOW)}


def test_the_visiting_watchmaker_lets_a_watch_run_down(example: Example) -> None:
    (test,) = open_tests(example.store.reading())
    assert test.watch_uid == watch_uid("Bench two")
    assert test.holds
