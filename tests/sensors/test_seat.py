from sensors.kinds import Boolean
from sensors.rest import BEGIN, Course, Found, Setup, Span, Stop, fold
from sensors.seat import Seat, handed_over
from sensors.sensor import Assignment

SETUP = Setup(Boolean(), 60.0)
RUN = [(60.0 * minute, 1.0) for minute in range(60)] + [(60.0 * minute, 0.0) for minute in range(60, 90)]


def followed(seat: Seat) -> tuple[Course, list[Found]]:
    course, found = seat.begin, []
    for at_s, value in RUN:
        course, ended = seat.advance(course, at_s, [value])
        found += ended
    return course, found


def laid(from_s: float, to_s: float | None) -> Assignment:
    return Assignment(uid=str(from_s), sensor_uid="shelf", watch_uid="anna", from_s=from_s, to_s=to_s)


def test_a_seat_never_handed_over_is_the_rest_sensor_itself() -> None:
    assert followed(Seat(SETUP, ())) == fold(SETUP, RUN)
    assert followed(Seat(SETUP, (-60.0, 0.0, 9000.0))) == fold(SETUP, RUN)


def test_a_span_cut_short_ends_as_unknown_and_no_stop_reaches_over() -> None:
    course, found = followed(Seat(SETUP, (3570.0,)))
    assert found == [Span("going", 0, 3540, "unknown")]
    assert (course.state, course.since_s) == ("stopped", 3600)


def test_a_watch_laid_down_going_stops_in_a_bracket_of_its_own() -> None:
    _, found = followed(Seat(SETUP, (1200.0,)))
    assert found == [Span("going", 0, 1140, "unknown"), Span("going", 1200, 3540, "stopped"), Stop(3540, 3600)]


def test_a_knock_of_the_new_watch_is_no_end_of_its_run() -> None:
    knocked = [*RUN[:60], (3600.0, 1.0), *RUN[61:]]
    seat, course, found = Seat(SETUP, (3590.0,)), BEGIN, []
    for at_s, value in knocked:
        course, ended = seat.advance(course, at_s, [value])
        found += ended
    assert not any(isinstance(each, Stop) for each in found)


def test_a_seat_is_handed_over_where_a_watch_comes_or_goes() -> None:
    assert handed_over([laid(500, None), laid(0, 300), laid(300, 400)]) == (0, 300, 400, 500)
