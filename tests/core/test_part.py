import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.barrel.line import Strip
from tracker.core.part import Part, SpringNotRead, ThickerThanHigh, line_of, line_of_spring, part_of, spring_of

OLD = Strip(height_mm=1.3, thickness_mm=0.115, length_mm=350.0)
NEW = Strip(height_mm=1.3, thickness_mm=0.11, length_mm=360.0, drum_diameter_mm=11.0)


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("crown gasket", Part("crown gasket")),
        ("gasket: the blue one", Part("gasket: the blue one")),
        ("jewel: 2 mm, pressed", Part("jewel: 2 mm, pressed")),
        ("mainspring: 1,30 x 0,115 x 350 > 1.30*0.11*360*11", Part("mainspring", OLD, NEW)),
        ("mainspring : 1.30 × 0.115 × 350", Part("mainspring", OLD)),
        ("mainspring: → 1.3 × 0.11 × 360 × 11", Part("mainspring", None, NEW)),
        ("  a   long\tname ", Part("a long name")),
        ("box 3: mainspring: 1.3 × 0.115 × 350", Part("box 3: mainspring", OLD)),
    ],
)
def test_a_part_is_read_with_its_springs(line: str, part: Part) -> None:
    assert part_of(line) == part


@pytest.mark.parametrize("line", ["spring: 1.3 × thin × 350", "spring: 1.3 × 0.1", "spring: 1.3 x 0.1 x 350 > 1.3 × 0", "spring: 0 × 0 × 350"])  # fmt: skip
def test_dimensions_that_are_no_spring_are_refused_not_taken_for_a_name(line: str) -> None:
    with pytest.raises(SpringNotRead):
        part_of(line)


def test_a_spring_given_in_another_order_is_told() -> None:
    with pytest.raises(ThickerThanHigh, match=r"0\.115 × 1\.3 × 350"):
        spring_of("0,115 × 1,3 × 350")


def test_an_empty_line_is_no_spring() -> None:
    assert spring_of("  ") is None


@given(
    st.text("abc :>x×12.,-", min_size=1, max_size=20),
    st.none() | st.just(OLD) | st.just(NEW),
    st.none() | st.just(OLD) | st.just(NEW),
)
def test_what_is_written_is_read_again_as_it_was(what: str, before: Strip | None, after: Strip | None) -> None:
    name = " ".join(what.split())
    try:
        plain = part_of(name)
    except SpringNotRead:
        return
    if not name or plain != Part(name):
        return
    part = Part(name, before, after)
    assert part_of(line_of(part)) == part


def test_figures_are_written_as_they_were_given() -> None:
    assert line_of_spring(NEW) == "1.3 × 0.11 × 360 × 11"
    assert line_of(Part("mainspring", OLD, NEW)) == "mainspring: 1.3 × 0.115 × 350 > 1.3 × 0.11 × 360 × 11"
