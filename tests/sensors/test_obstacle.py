import ssl

import pytest

from sensors.brokersettings import BrokerSettings
from sensors.obstacle import obstacle, refusal

SETTINGS = BrokerSettings(host="box", port=1884)


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (ConnectionRefusedError(111, "Connection refused"), "no broker answers at box:1884: Connection refused"),
        (TimeoutError("timed out"), "no broker answers at box:1884: timed out"),
        (FileNotFoundError(2, "No such file"), "a certificate can't be read: No such file"),
        (ssl.SSLError("WRONG"), "the encrypted connection to box:1884 fails: "),
    ],
)
def test_what_is_in_the_way_is_said_in_words(error: Exception, said: str) -> None:
    assert obstacle(error, SETTINGS).startswith(said)


def test_a_refusal_says_why() -> None:
    assert refusal("Not authorized") == "the broker does not accept the user or the password"
    assert refusal("Server busy") == "the broker refuses: Server busy"
