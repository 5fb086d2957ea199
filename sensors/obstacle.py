"""What keeps us from a broker, in words that may follow a colon."""

import ssl

from sensors.brokersettings import BrokerSettings
from tracker.words import say

_OF_CODE = {
    9: "its certificate is not valid yet; see to the clocks of both machines",
    10: "its certificate has run out",
    18: "its certificate comes from no authority that is trusted here; see to ca_file",
    19: "its certificate comes from no authority that is trusted here; see to ca_file",
    20: "its certificate comes from no authority that is trusted here; see to ca_file",
    21: "its certificate comes from no authority that is trusted here; see to ca_file",
    62: "its certificate is for another name than this",
    64: "its certificate is for another address than this",
}
"""By the number of OpenSSL for what is wrong with a certificate (`X509_V_ERR_…` in its x509_vfy.h)."""


def obstacle(error: Exception, settings: BrokerSettings) -> str:
    """Why there is no connection."""
    where = f"{settings.host}:{settings.port}"
    if isinstance(error, ssl.SSLCertVerificationError):
        known = _OF_CODE.get(error.verify_code)
        why = say(known) if known else error.verify_message
        return say("the broker at {where} is not trusted: {why}", where=where, why=why)
    if isinstance(error, ssl.SSLError):
        return say(
            "the encrypted connection to {where} fails: {why}",
            where=where,
            why=getattr(error, "reason", None) or str(error),
        )
    why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    if isinstance(error, FileNotFoundError | PermissionError):
        return say("a certificate can't be read: {why}", why=why)
    return say("no broker answers at {where}: {why}", where=where, why=why)


def refusal(why: str) -> str:
    """Why the broker does not let us in, from its reason code's name in MQTT 5."""
    if why in {"Bad user name or password", "Not authorized"}:
        return say("the broker does not accept the user or the password")
    return say("the broker refuses: {why}", why=why)


def hung_up(settings: BrokerSettings) -> str:
    """The broker ended the connection instead of answering."""
    if settings.encrypted and settings.cert_file is None:
        return say("the broker hangs up without an answer; it may want a certificate of ours, cert_file")
    return say("the broker hangs up without an answer")
