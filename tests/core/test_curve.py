import numpy as np
import pytest
from scipy.stats import norm

from tracker.core.curve import curve_from
from tracker.core.windby import hours_at_risk

LOG_HOURS = np.linspace(np.log(10.0), np.log(120.0), 2048)


@pytest.mark.parametrize("p", [0.005, 0.01, 0.05, 0.5, 0.95, 0.999])
@pytest.mark.parametrize("sigma", [0.01, 0.04, 0.15])
def test_a_stored_curve_gives_the_quantiles_to_a_thousandth(p: float, sigma: float) -> None:
    curve = curve_from(LOG_HOURS, norm.sf(LOG_HOURS, np.log(40.0), sigma))
    assert hours_at_risk(curve, p) == pytest.approx(np.exp(norm.ppf(p, np.log(40.0), sigma)), rel=1e-3)


def test_a_curve_begins_at_one_and_falls_at_every_point() -> None:
    shares = curve_from(LOG_HOURS, norm.sf(LOG_HOURS, np.log(40.0), 0.04)).still_going
    assert shares[0] == 1.0
    assert (np.diff(shares) <= 0.0).all()
    assert 0.0 < shares[-1] < shares[-2]
