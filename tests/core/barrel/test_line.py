import pytest

from tracker.core.barrel.line import Strip, Unread, strip_of


@pytest.mark.parametrize(
    "line",
    ["1.30 × 0.115 × 350 × 11", "1,30 x 0,115 x 350 x 11", "1.3X.115X350X11", " 1.30*0.115*350*11 ", "1.30 mm × 0.115mm × 350 mm × 11 mm"],
)  # fmt: skip
def test_a_spring_is_read_as_the_trade_writes_it(line: str) -> None:
    assert strip_of(line) == Strip(height_mm=1.3, thickness_mm=0.115, length_mm=350.0, drum_diameter_mm=11.0)


def test_the_barrel_may_be_left_out() -> None:
    assert strip_of("1.30 × 0.115 × 350").drum_diameter_mm is None


@pytest.mark.parametrize(
    ("line", "part"),
    [("", ""), ("1.30", ""), ("1.3 × 0.1", ""), ("1 × 2 × 3 × 4 × 5", ""), ("1.3 × thin × 350 × 11", "thin"),
     ("1.3 × × 350 × 11", ""), ("1.3 × -0.1 × 350 × 11", "-0.1"), ("1.3 × 1e3 × 350 × 11", "1e3"), ("1.3 × nan × 350 × 11", "nan"),
     ("1.3 × 0.115 × 1 350 × 11", "1 350"), ("1.3 × 0,1,15 × 350 × 11", "0,1,15")],
)  # fmt: skip
def test_what_is_no_spring_is_refused_with_the_part_to_blame(line: str, part: str) -> None:
    with pytest.raises(Unread) as refused:
        strip_of(line)
    assert (refused.value.line, refused.value.part) == (line, part)
