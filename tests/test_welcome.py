"""What the start says of its addresses: in words, and for a phone's camera."""

import segno

from tracker.reach import Reach
from tracker.welcome import drawn, tell

HOME = "http://192.168.1.20:8321/"
HALVES = {" ": (True, True), "▀": (False, True), "▄": (True, False), "█": (False, False)}
"""A terminal is dark: a half that is drawn is a light module."""


def _said(reach: Reach) -> list[str]:
    lines: list[str] = []
    tell(reach, 8321, lines.append)
    return lines


def test_this_machine_alone_has_one_line() -> None:
    assert _said(Reach()) == ["Going Barrel is at http://127.0.0.1:8321/ – stop it with Ctrl+C."]


def test_at_home_the_address_for_phones_is_said_and_that_it_is_plain_http() -> None:
    assert _said(Reach(("127.0.0.1", "192.168.1.20"), logs_in=True))[1:] == [
        f"From phones and machines at home: {HOME}",
        "It is plain http: whoever can listen to this network can read along. README tells of https.",
    ]


def test_an_ipv6_address_is_put_in_brackets() -> None:
    assert _said(Reach(("::1",)))[0] == "Going Barrel is at http://[::1]:8321/ – stop it with Ctrl+C."


def test_behind_a_proxy_it_names_the_proxy() -> None:
    assert _said(Reach(logs_in=True, trusted_proxy="127.0.0.1"))[-1] == "By the proxy at 127.0.0.1; it sees to https."


def test_the_drawing_is_the_code_of_the_address() -> None:
    wanted = [[bool(module) for module in row] for row in segno.make(HOME, micro=False).matrix_iter(border=4)]
    halves = [[HALVES[sign] for sign in line] for line in drawn(HOME).splitlines()]
    found = [[pair[half] for pair in line] for line in halves for half in (0, 1)]
    assert [row[: len(wanted[0])] for row in found[: len(wanted)]] == wanted
