import stat
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from tests.web.rounds import HOUR, NOW, figures, of_watch, wound
from tracker import feed
from tracker.commands.settings import Settings
from tracker.core.offer import Offer
from tracker.core.timeline import Service
from tracker.core.watch import Watch
from tracker.figures import Figures

SETTINGS = Settings(zone="Europe/London", service_interval_years=3.0)


def told(*each: Figures) -> list[str]:
    return [event.summary for event in feed.events(each, SETTINGS, NOW)]


def test_rounds_and_wind_bys_stand_in_it_by_nicknames() -> None:
    found = feed.events([figures("Night ferry", wound(3.0))], SETTINGS, NOW)
    assert found[0].summary == "Wind Night ferry"
    by = [event for event in found if event.summary == "Night ferry: wind by now"]
    assert [event.alarm_before for event in by] == [3 * HOUR]


def test_a_service_is_due_by_the_owners_rule() -> None:
    service = Service(uid="s", at=NOW - timedelta(days=365), zone="UTC")
    found = feed.events([of_watch(Watch(uid="w", nickname="Almanac"), service, wound(3.0))], SETTINGS, NOW)
    assert [event.at for event in found if "service" in event.summary] == [date(2028, 11, 25)]
    assert feed.events([figures("a", wound(3.0), kept=False)], SETTINGS, NOW) == []


def test_a_customers_watch_and_one_left_to_run_are_not_told() -> None:
    job = of_watch(Watch(uid="j", nickname="j", job_number="W-1", habit="keep going"), wound(3.0))
    left = replace(figures("a", wound(3.0)), offer=Offer(NOW + HOUR, 40.0, 0.5, hands=False))
    assert told(job, left) == []


def test_events_keep_their_names_while_the_log_stands_still() -> None:
    first, later = (feed.events([figures("a", wound(3.0))], SETTINGS, NOW) for _ in range(2))
    assert first == later
    assert len({event.uid for event in first}) == len(first)
    assert feed.digest(first) == feed.digest(later) != feed.digest(first[1:])


def test_the_secret_is_its_owners_and_long(tmp_path: Path) -> None:
    assert feed.key_of(tmp_path) is None
    assert not feed.opens(tmp_path, "")
    key = feed.renew_key(tmp_path)
    assert len(bytes.fromhex(key)) * 8 == 128
    assert stat.S_IMODE((tmp_path / feed.KEY_FILE).stat().st_mode) == 0o600
    assert feed.opens(tmp_path, key)
    assert not feed.opens(tmp_path, "é")


def test_a_new_secret_voids_the_former_and_closing_voids_all(tmp_path: Path) -> None:
    former, key = feed.renew_key(tmp_path), feed.renew_key(tmp_path)
    assert not feed.opens(tmp_path, former)
    feed.forget_key(tmp_path)
    feed.forget_key(tmp_path)
    assert not feed.opens(tmp_path, key)


def test_a_later_change_has_a_larger_number() -> None:
    assert feed.sequence_at(NOW) < feed.sequence_at(NOW + timedelta(seconds=1))
    assert feed.sequence_at(NOW.replace(year=1970)) == 0
