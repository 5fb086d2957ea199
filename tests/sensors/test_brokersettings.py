from pathlib import Path

from sensors.brokersettings import BrokerSettings


def test_a_password_is_never_shown() -> None:
    word = "opens it"
    assert word not in repr(BrokerSettings(user="barrel", password=word))


def test_any_certificate_named_means_an_encrypted_connection() -> None:
    assert not BrokerSettings().encrypted
    assert BrokerSettings(tls=True).encrypted
    assert BrokerSettings(ca_file=Path("ca.pem")).encrypted
    assert BrokerSettings(cert_file=Path("own.pem"), key_file=Path("own.key")).encrypted
