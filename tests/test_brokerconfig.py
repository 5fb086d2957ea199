from pathlib import Path

import pytest

from sensors.brokersettings import BrokerSettings
from tracker.brokerconfig import broker_settings
from tracker.errors import BadInput, Unavailable

WHOLE = """
[mqtt]
host = "broker.lan"
port = 8883
user = "going"
password = "a secret"
tls = true
ca_file = "ca.pem"
cert_file = "/etc/ours.pem"
key_file = "ours.key"
protocol = "5"
client_id = "ours"
prefix = "house/going"
"""


def written(folder: Path, text: str) -> Path:
    (folder / "going.toml").write_text(text)
    return folder


def test_without_a_host_there_is_no_broker(tmp_path: Path) -> None:
    assert broker_settings(tmp_path, {}) is None
    assert broker_settings(written(tmp_path, "[mqtt]\nport = 1884\n"), {}) is None


def test_every_key_is_taken_and_paths_count_from_the_folder(tmp_path: Path) -> None:
    assert broker_settings(written(tmp_path, WHOLE), {}) == BrokerSettings(
        host="broker.lan", port=8883, user="going", password="a secret", tls=True, ca_file=tmp_path / "ca.pem",  # noqa: S106 -- invented
        cert_file=Path("/etc/ours.pem"), key_file=tmp_path / "ours.key", protocol="5", client_id="ours",
        prefix="house/going",
    )  # fmt: skip


def test_the_environment_outdoes_the_file(tmp_path: Path) -> None:
    found = broker_settings(
        written(tmp_path, WHOLE), {"GOING_MQTT_PASSWORD": "another", "GOING_MQTT_PORT": "1883", "GOING_MQTT_TLS": "no"}
    )
    assert found is not None
    assert (found.password, found.port, found.tls, found.host) == ("another", 1883, False, "broker.lan")


def test_the_environment_alone_is_enough(tmp_path: Path) -> None:
    assert broker_settings(tmp_path, {"GOING_MQTT_HOST": "10.0.0.2"}) == BrokerSettings(host="10.0.0.2")


@pytest.mark.parametrize(
    ("text", "field", "sentence"),
    [
        ("[mqt]\n", "mqt", "has a section that is not known: “mqt”"),
        ("[mqtt]\npasword = 'x'\n", "pasword", "has a key that is not known: “pasword”"),
        ("[mqtt]\nhost = 'x'\nport = 0\n", "port", "Give a number from 1 to 65535."),
        ("[mqtt]\nhost = 'x'\nport = true\n", "port", "Give a number from 1 to 65535."),
        ("[mqtt]\nhost = 'x'\ntls = 'perhaps'\n", "tls", "Give true or false."),
        ("[mqtt]\nhost = 'x'\nprotocol = '4'\n", "protocol", "Give one of any, 5, 3.1.1."),
        ("[mqtt]\nhost = ''\n", "host", "Give text that is not empty."),
    ],
)
def test_what_cannot_be_taken_is_named(tmp_path: Path, text: str, field: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        broker_settings(written(tmp_path, text), {})
    assert refused.value.field == field
    assert sentence in refused.value.sentence


def test_a_password_that_cannot_be_taken_is_not_repeated(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as refused:
        broker_settings(written(tmp_path, "[mqtt]\nhost = 'x'\npassword = 31337\n"), {})
    assert "31337" not in refused.value.sentence


@pytest.mark.parametrize("content", [b"[mqtt\n", b"\xff\xfe"])
def test_a_file_that_is_no_toml_is_told(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "going.toml").write_bytes(content)
    with pytest.raises(Unavailable, match=r"going\.toml"):
        broker_settings(tmp_path, {})


def test_no_password_is_ever_written_out(tmp_path: Path) -> None:
    assert "a secret" not in repr(broker_settings(written(tmp_path, WHOLE), {}))
