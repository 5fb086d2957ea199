"""A password is kept as argon2id hashes it with what RFC 9106 recommends, and slowly."""

from argon2 import extract_parameters
from argon2.low_level import Type

from tracker import passwords

_AS_SHIPPED = passwords._hasher  # tests take a quicker one from here on


def test_what_is_kept_is_argon2id_with_the_second_choice_of_rfc_9106() -> None:
    kept = extract_parameters(_AS_SHIPPED().hash("nine brown barrels"))
    # RFC 9106, section 4: t = 3, p = 4, 64 MiB, 128-bit salt, 256-bit tag.
    assert (kept.type, kept.time_cost, kept.parallelism, kept.memory_cost) == (Type.ID, 3, 4, 64 * 1024)
    assert (kept.salt_len, kept.hash_len) == (16, 32)


def test_only_the_password_matches_and_no_hash_matches_nothing() -> None:
    kept = passwords._hasher().hash("nine brown barrels")
    assert passwords.matches(kept, "nine brown barrels")
    assert not passwords.matches(kept, "nine brown barrel")
    assert not passwords.matches("", "nine brown barrels")
    assert not passwords.matches("no hash", "nine brown barrels")
