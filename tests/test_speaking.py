"""What the owner chose is shown and read; files and programs get ISO 8601 and a decimal point."""

import json
from collections.abc import Iterator

import pytest

from tests.web.rounds import client, give
from tracker.cli import main
from tracker.collection import preferences
from tracker.commands.base import Who
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.csvfile.importing import import_csv
from tracker.csvfile.writing import write_csv
from tracker.store import register
from tracker.store.store import Store
from tracker.words import Formats, Speech, speak

CHOSEN = {"clock": "12 h", "dates": "day first", "decimal": "comma"}
UID = "01936f4e-5c00-7000-8000-00000000000b"


@pytest.fixture(autouse=True)
def _hushed() -> Iterator[None]:
    yield
    speak(Speech())


def _choose(store: Store, chosen: dict[str, str]) -> None:
    give(store, ChangeSettings(**preferences(store).values.model_dump() | chosen))


@pytest.fixture
def _night(store: Store) -> None:
    give(store, RegisterWatch(uid=UID, nickname="Night", stated_reserve_h=40.5, service_every_years=3.5))


@pytest.mark.usefixtures("_night")
def test_pages_show_and_read_what_was_chosen(store: Store) -> None:
    _choose(store, CHOSEN)
    browser = client(store)
    assert "Wed 25 Nov 2026, 7:25 am" in browser.get("/").text
    page = browser.get(f"/watch/{UID}/edit").text
    assert 'value="40,5"' in page
    sums = browser.get(
        "/barrel?thickness_mm=0,115&drum_diameter_mm=11&arbor_diameter_mm=3,4&height_mm=1,3&length_mm=350"
    ).text
    assert "1,3" in sums
    assert 'class="problem"' not in sums


@pytest.mark.usefixtures("_night")
def test_what_may_mean_a_thousand_is_asked_again(store: Store) -> None:
    _choose(store, CHOSEN)
    browser = client(store)
    answer = browser.post(
        "/settings", data={"uid": UID, "zone": "UTC", "notice_h": "1.234", "language": "en", **CHOSEN}
    )
    assert answer.status_code == 422
    assert "“1.234” can be read in two ways. Give 1234 or 1,234." in answer.text


@pytest.mark.usefixtures("_night")
def test_files_stay_as_they_were(store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    folder = str(store.path.parent)

    def told() -> tuple[str, object]:
        capsys.readouterr()
        assert main(["services", "--json", "--data", folder]) == 0
        return write_csv(store.reading(), "watches"), _timeless(json.loads(capsys.readouterr().out))

    before = told()
    assert "40.5" in before[0]
    _choose(store, CHOSEN)
    assert told() == before


def _timeless(value: object) -> object:
    """Without what moves on between two calls."""
    if isinstance(value, dict):
        return {name: _timeless(each) for name, each in value.items()}
    if isinstance(value, list):
        return [_timeless(each) for each in value]
    return 0 if isinstance(value, float) else value


def test_a_file_is_read_with_its_point(store: Store, who: Who) -> None:
    _choose(store, CHOSEN)
    speak(Speech(formats=Formats(decimal="comma")))
    import_csv(store, b"nickname,stated_reserve_h\nNight,1.234\n", "watches", who)
    assert register.watches(store.reading())[0].stated_reserve_h == 1.234
