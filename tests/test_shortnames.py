from itertools import pairwise

from tracker.core.watch import Watch
from tracker.shortnames import called, in_two, short_name
from tracker.uids import uid_of

UIDS = [uid_of("watch", str(n)) for n in range(1000)]


def test_they_are_six_letters_and_digits_that_nobody_mistakes_and_stay_the_same() -> None:
    assert short_name("01936f4e-5c00-7000-8000-000000000000") == "5sfv52"
    assert all(
        len(short_name(uid)) == 6 and set(short_name(uid)) <= set("abcdefghijklmnopqrstuvwxyz234567") for uid in UIDS
    )


def test_watches_registered_one_after_the_other_have_nothing_in_common() -> None:
    near = [f"01936f4e-5c00-7000-8000-{n:012x}" for n in range(200)]
    assert max(sum(a == b for a, b in zip(short_name(x), short_name(y), strict=True)) for x, y in pairwise(near)) <= 3
    assert len({short_name(uid) for uid in UIDS}) == 1000


def test_they_are_found_however_they_are_typed() -> None:
    watches = [Watch(uid=uid, nickname=uid) for uid in UIDS[:20]]
    short = short_name(UIDS[7])
    for typed in (short, short.upper(), in_two(short), f" {short[:2]}-{short[2:]} "):
        assert [watch.uid for watch in called(watches, typed)] == [UIDS[7]]
    assert called(watches, "aaaaaa") == called(watches, "") == []
