"""Names for rows."""

from datetime import UTC, datetime, timedelta
from uuid import RFC_4122, UUID

from tracker.uids import PATTERN, new_uid, uid_of

MOMENT = datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)


def test_a_new_uid_is_a_uuid_of_version_7_with_its_moment_against_rfc_9562() -> None:
    # RFC 9562, appendix A.6: 22 February 2022 14:22:22 at UTC-05:00 is 017F22E2-79B0 in the first 48 bits.
    uid = UUID(new_uid(MOMENT))
    assert (uid.variant, uid.version) == (RFC_4122, 7)
    assert str(uid).startswith("017f22e2-79b0-7")


def test_new_uids_sort_by_the_millisecond_they_were_made_in() -> None:
    made = [new_uid(MOMENT + timedelta(milliseconds=i)) for i in range(50)]
    assert made == sorted(made)


def test_no_two_new_uids_are_equal() -> None:
    assert len({new_uid(MOMENT) for _ in range(1000)}) == 1000


def test_a_uid_without_a_moment_takes_this_one() -> None:
    assert PATTERN.fullmatch(new_uid())
    assert new_uid(MOMENT) < new_uid()


def test_the_same_parts_give_the_same_uid_of_version_8() -> None:
    uid = UUID(uid_of("log", "Anna", "1"))
    assert (uid.variant, uid.version) == (RFC_4122, 8)
    assert uid_of("log", "Anna", "1") == str(uid)
    assert PATTERN.fullmatch(str(uid))


def test_parts_do_not_run_together() -> None:
    assert len({uid_of("ab", "c"), uid_of("a", "bc"), uid_of("abc"), uid_of("a", "b", "c")}) == 4
