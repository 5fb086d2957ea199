"""SenML in JSON (RFC 8428): a pack of records, resolved to plain ones."""

import math
import re
from typing import Literal, NamedTuple

from sensors.unread import Unreadable, shown
from tracker.words import say

ValueKind = Literal["v", "vs", "vb", "vd", ""]
RELATIVE_BELOW = float(2**28)
"""Times below this count from now (RFC 8428, section 4.5.3)."""
VERSION = 10
"""The version of this standard (section 4.4); a pack of a later one must not be used."""
BASE: dict[str, tuple[type, ...]] = {
    "bn": (str,),
    "bt": (int, float),
    "bu": (str,),
    "bv": (int, float),
    "bs": (int, float),
    "bver": (int,),
}
OWN: dict[str, tuple[type, ...]] = {
    "n": (str,),
    "u": (str,),
    "v": (int, float),
    "vs": (str,),
    "vb": (bool,),
    "vd": (str,),
    "s": (int, float),
    "t": (int, float),
    "ut": (int, float),
}
LABELS = BASE | OWN
VALUES: tuple[ValueKind, ...] = ("v", "vs", "vb", "vd")
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9\-:./_]*", re.ASCII)
_BASE64URL = re.compile(r"[A-Za-z0-9_-]*={0,2}", re.ASCII)

Fields = dict[str, str | float | bool]


class Record(NamedTuple):
    """A resolved record. `at_s` is seconds since 1970 in UTC; `stamped` is false where it counts from the arrival.

    `value` is of the kind `kind` names (a number, text, a truth value, bytes in base64url); without one it is None
    and `sum` is there. `unit` is the unit as written.
    """

    name: str
    unit: str
    at_s: float
    stamped: bool
    kind: ValueKind
    value: str | float | bool | None
    sum: float | None


def resolve(pack: object, now_s: float) -> list[Record]:
    """The records of a pack in order of time, base fields and relative times resolved (RFC 8428, section 4.6).

    Raises:
        Unreadable: it is not a pack; one bad record spoils it, since base fields reach over records.
    """
    if not isinstance(pack, list) or not pack:
        raise _unfit(say("it is not a list of records"))
    base: Fields = {}
    records = []
    for entry in pack:
        fields = _checked(entry)
        base |= {label: value for label, value in fields.items() if label in BASE}
        if not 1 <= _number(base, "bver", VERSION) <= VERSION:
            raise _unfit(say("its version is not from 1 to {version}", version=VERSION))
        if any(label in OWN for label in fields):
            records.append(_record(base, fields, now_s))
    return sorted(records, key=lambda record: record.at_s)


def _unfit(what: str) -> Unreadable:
    return Unreadable("no pack", what)


def _checked(entry: object) -> Fields:
    """The fields that are understood, each of its type; what must be understood and is not spoils the pack."""
    if not isinstance(entry, dict):
        raise _unfit(say("it is not a list of records"))
    fields: Fields = {}
    for label, value in entry.items():
        if label in LABELS:
            fields[label] = _typed(label, value)
        elif label.endswith("_"):
            raise _unfit(say("{label} must be understood and is not", label=shown(label)))
    return fields


def _typed(label: str, value: object) -> str | float | bool:
    types = LABELS[label]
    if not isinstance(value, types) or (isinstance(value, bool) and bool not in types):
        raise _unfit(say("{label} can't be {value}", label=label, value=shown(value)))
    if float in types:
        return _finite(value, label)
    return value  # type: ignore[return-value]  # one of the types above


def _finite(value: object, label: str) -> float:
    try:
        number = float(value)  # type: ignore[arg-type]  # int or float
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise _unfit(say("{label} is too large", label=label))
    return number


def _record(base: Fields, fields: Fields, now_s: float) -> Record:
    name = f"{base.get('bn', '')}{fields.get('n', '')}"
    if not _NAME.fullmatch(name):
        raise _unfit(say("{name} is no name", name=shown(name)))
    at_s = _number(base, "bt") + _number(fields, "t")
    kind, value = _value(base, fields)
    total = _added(base, fields, "bs", "s")
    if kind == "" and total is None:
        raise _unfit(say("{name} has no value", name=shown(name)))
    relative = at_s < RELATIVE_BELOW
    at_s = _finite(at_s + now_s if relative else at_s, "t")
    return Record(name, str(fields.get("u", base.get("bu", ""))), at_s, not relative, kind, value, total)


def _value(base: Fields, fields: Fields) -> tuple[ValueKind, str | float | bool | None]:
    """The one value of a record; a base value adds to numbers only, and stands alone where there is no value."""
    given = [kind for kind in VALUES if kind in fields]
    if len(given) > 1:
        raise _unfit(say("a record has two values"))
    if given and given[0] != "v":
        if given[0] == "vd" and not _BASE64URL.fullmatch(str(fields["vd"])):
            raise _unfit(say("vd is not base64url"))
        return given[0], fields[given[0]]
    if not given and "s" in fields and "bv" not in base:
        return "", None
    number = _added(base, fields, "bv", "v")
    return ("", None) if number is None else ("v", number)


def _added(base: Fields, fields: Fields, base_label: str, label: str) -> float | None:
    if base_label not in base and label not in fields:
        return None
    return _finite(_number(base, base_label) + _number(fields, label), label)


def _number(fields: Fields, label: str, absent: float = 0.0) -> float:
    return float(fields.get(label, absent))
