from sensors import rest, winder
from sensors.counter import Counter
from sensors.kinds import Boolean
from sensors.payload import Form
from sensors.sensor import Sensor


def test_a_rest_sensor_is_followed_with_its_confirmation() -> None:
    tray = Sensor(
        uid="s", name="tray", kind="rest", topic="tray/1", form=Form("plain", "boolean"), reports=Boolean(),
        expected_s=60, confirm_readings=4, confirm_s=300,
    )  # fmt: skip
    assert tray.setup == rest.Setup(Boolean(), 60, 4, 300)


def test_a_winder_channel_is_followed_by_its_turns() -> None:
    seat = Sensor(
        uid="s",
        name="left",
        kind="winder",
        topic="box",
        form=Form("plain", "number"),
        reports=Counter(),
        expected_s=600,
    )
    assert seat.setup == winder.Setup(Counter(), 600)
