import pytest

from sensors.counter import Counter
from sensors.kinds import Beats, Boolean, Kind, Level
from sensors.payload import Reading
from sensors.unread import Unread
from sensors.winder import Power, Reports, Turning
from tests.web.rounds import LONDON, NOW
from tracker.readingwords import reading_said, shown


@pytest.mark.parametrize(
    ("reports", "value", "said"),
    [
        (Boolean(), 1.0, "going"),
        (Boolean(), 0.0, "stopped"),
        (Level(0.6, 0.4), 0.7, "0.7: going"),
        (Level(0.6, 0.4), 0.5, "0.5: between the two"),
        (Level(0.6, 0.4), 0.1, "0.1: stopped"),
        (Beats(18_000, 0.05, 10), 50, "50: going"),
        (Beats(18_000, 0.05, 10), 40, "40: neither going nor stopped"),
        (Turning(10), -1.0, "turning"),
        (Turning(10), 0.0, "not turning"),
        (Power(2.0, 10), 3.5, "3.5 W: turning"),
        (Power(2.0, 10), 0.3, "0.3 W: not turning"),
        (Counter(), 1234.0, "1234"),
        (None, 0.7, "0.7"),
    ],
)
def test_a_reading_is_told_as_the_sensor_takes_it(reports: Kind | Reports | None, value: float, said: str) -> None:
    reading = Reading(NOW.timestamp() - 5, value, stamped=True)
    assert reading_said(reading, reports, NOW, LONDON) == f"{said}, today 07:24:55"
    assert reading_said(reading._replace(stamped=False), reports, NOW, LONDON) == f"{said}, timed by its arrival"


def test_what_is_no_reading_is_told_by_its_reason() -> None:
    assert reading_said(Unread("not JSON"), Boolean(), NOW, LONDON) == "The message is not JSON."


def test_a_message_is_shown_printable_and_short() -> None:
    assert shown(b"on\x00\xff") == "on·\ufffd"
    assert len(shown(b"x" * 500)) == 60
