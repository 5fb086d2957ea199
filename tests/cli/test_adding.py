from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tracker.cli.parser import make_parser
from tracker.collection import open_collection
from tracker.commands.register import FIELD_NAMES
from tracker.core.watch import Watch
from tracker.store import register


def watches(folder: Path) -> list[Watch]:
    store = open_collection(folder, NOW)
    found = register.watches(store.reading())
    store.close()
    return found


def test_a_watch_is_added_with_what_is_known_of_it(going: Going, folder: Path) -> None:
    call = "--reserve 42,5 --wound-by crown-and-rotor --turns-to-full 40 --habit keep-going --dial 24 --date-window"
    said = going("add", "Aunt's travelling watch", *call.split(), "--place", "tray 3")
    assert said == (0, "Added: Aunt's travelling watch. To take it back: going undo\n", "")
    (watch,) = watches(folder)
    assert (watch.nickname, watch.stated_reserve_h, watch.wound_by) == (
        "Aunt's travelling watch",
        42.5,
        "crown and rotor",
    )
    assert (watch.crown_turns_to_full, watch.habit, watch.dial_hours, watch.date_window, watch.place) == (
        40,
        "keep going",
        24,
        True,
        "tray 3",
    )


def test_days_alone_tell_the_habit(going: Going, folder: Path) -> None:
    going("add", "Hall clock", "--weekdays", "Sun,Wed")
    going("add", "Tray", "--every", "3")
    hall, tray = watches(folder)
    assert (hall.habit, hall.habit_weekdays) == ("on weekdays", ("Sun", "Wed"))
    assert (tray.habit, tray.habit_every_days) == ("every n days", 3)


def test_a_state_told_along_is_a_first_sighting(going: Going) -> None:
    assert going("add", "Night ferry", "Tray", "--stopped")[1] == (
        "Added: Night ferry, Tray. Seen stopped just now. To take it back: going undo\n"
    )
    assert "Taken back: two watches added and two sightings (Night ferry, Tray)" in going("undo")[1]


def test_every_field_of_a_watch_has_its_option() -> None:
    fields = vars(make_parser().parse_args(["add", "Night ferry"]))
    assert set(FIELD_NAMES) - {"nickname"} <= set(fields)


@pytest.mark.parametrize(
    ("options", "sentences"),
    [
        (["--reserve", "long"], ["going: --reserve: “long” is not a number. Give a number."]),
        (["--every", "x"], ["going: --every: “x” is not a whole number. Give a whole number."]),
        (
            ["--dial", "13"],
            ["going: --dial: “13” is not one of the choices. Choose 12, 24. going add --help tells more."],
        ),
    ],
)
def test_what_can_not_be_taken_is_told_by_its_option(going: Going, options: list[str], sentences: list[str]) -> None:
    code, said, complaint = going("add", "Tray", *options)
    assert (code, said, complaint.splitlines()) == (2, "", sentences)


def test_a_nickname_in_use_adds_none_of_the_call(three: Going, folder: Path) -> None:
    code, _, complaint = three("add", "Tray", "night ferry")
    assert code == 2
    assert complaint.startswith("going: NICKNAME: There is already a watch called “night ferry” (in the collection).")
    assert len(watches(folder)) == 3


CUSTOMERS = ("--customer", "A pilot", "--job-number", "W-118", "--came-in", "2026-11-20", "--promised", "2026-12-10")


def test_a_customers_watch_comes_in_and_is_handed_back(going: Going, folder: Path) -> None:
    assert going("add", "Regulator", *CUSTOMERS)[0] == 0
    (watch,) = watches(folder)
    assert (watch.belongs_to, watch.job_number, watch.customers) == ("A pilot", "W-118", True)
    assert (str(watch.came_in), str(watch.promised_for)) == ("2026-11-20", "2026-12-10")
    assert going("handback", "Reg", "--on", "2026-11-24")[1].startswith("Regulator: went out on 2026-11-24.")
    assert watches(folder)[0].gone_out
    assert "a watch handed back (Regulator)" in going("undo")[1]
    assert "Regulator: went out on 2026-11-25." in going("handback", "Reg")[1]


def test_a_customer_without_a_job_is_asked_for_its_number(going: Going, folder: Path) -> None:
    code, _, complained = going("add", "Regulator", "--customer", "A pilot")
    assert code == 2
    assert "--job-number: A customer's watch has a job number, and none is given." in complained
    assert watches(folder) == []


def test_the_list_tells_customers_watches_below_the_owners(going: Going) -> None:
    going("add", "Night ferry")
    going("add", "Regulator", *CUSTOMERS)
    own, _, jobs = going("list")[1].partition(
        "One customer’s watch is in; Regulator is promised first, for 2026-12-10."
    )
    assert ("Night ferry" in own, "Regulator" in own) == (True, False)
    assert ("Regulator" in jobs, "W-118" in jobs, "A pilot" in jobs) == (True, True, True)
