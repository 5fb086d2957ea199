import ssl

import pytest

from sensors.brokersettings import BrokerSettings
from sensors.obstacle import hung_up, obstacle, refusal

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


def untrusted(code: int) -> ssl.SSLCertVerificationError:
    error = ssl.SSLCertVerificationError()
    error.verify_code, error.verify_message = code, "as OpenSSL says"
    return error


@pytest.mark.parametrize(
    ("code", "why"),
    [
        (10, "its certificate has run out"),
        (9, "its certificate is not valid yet; see to the clocks of both machines"),
        (62, "its certificate is for another name than this"),
        (19, "its certificate comes from no authority that is trusted here; see to ca_file"),
        (23, "as OpenSSL says"),
    ],
)
def test_what_is_wrong_with_the_brokers_certificate_is_said(code: int, why: str) -> None:
    assert obstacle(untrusted(code), SETTINGS) == f"the broker at box:1884 is not trusted: {why}"


def test_a_broker_that_hangs_up_may_want_a_certificate() -> None:
    plain, tls = BrokerSettings(), BrokerSettings(tls=True)
    assert hung_up(plain) == "the broker hangs up without an answer"
    assert hung_up(tls) == "the broker hangs up without an answer; it may want a certificate of ours, cert_file"
