from sensors.arrivals import Arrivals

MINUTE = 60.0


def queued(arrivals: Arrivals, moments: list[float]) -> list[bool]:
    return [arrivals.queued("s", MINUTE, at_s) for at_s in moments]


def test_messages_at_their_time_have_not_waited() -> None:
    arrivals = Arrivals()
    arrivals.connected(0.0)
    assert queued(arrivals, [60, 118, 181, 240]) == [False] * 4


def test_what_comes_in_quick_succession_after_a_connection_had_waited() -> None:
    arrivals = Arrivals()
    arrivals.connected(1000.0)
    assert queued(arrivals, [1000.1, 1000.1, 1000.2, 1029.9, 1089.9]) == [True, True, True, True, False]


def test_a_connection_in_between_is_one_again() -> None:
    arrivals = Arrivals()
    arrivals.connected(0.0)
    assert queued(arrivals, [60, 120]) == [False, False]
    arrivals.connected(600.0)
    assert queued(arrivals, [600.1, 600.2, 655, 715]) == [True, True, False, False]


def test_once_messages_keep_time_a_quick_one_counts() -> None:
    arrivals = Arrivals()
    arrivals.connected(0.0)
    assert queued(arrivals, [60, 61, 62, 120]) == [False] * 4


def test_after_a_gap_the_first_counts_and_what_follows_at_once_had_waited() -> None:
    arrivals = Arrivals()
    arrivals.connected(0.0)
    assert queued(arrivals, [60, 1000, 1000.1, 1000.2, 1060, 1061]) == [False, False, True, True, False, False]


def test_a_sensor_faster_than_it_was_set_up_counts_after_a_gaps_length() -> None:
    arrivals = Arrivals()
    arrivals.connected(0.0)
    waited = queued(arrivals, [10.0 * each for each in range(1, 31)])
    assert waited == [True] * 18 + [False] * 12
