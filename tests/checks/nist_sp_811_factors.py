"""Conversion factors held against NIST Special Publication 811 (2008), Appendix B.8.

The guide prints seven digits, so half a unit of the seventh is the tolerance. Values from memory.
"""

import pytest

from app.measure import quantities as q
from app.measure.lengths import read_mm


@pytest.mark.parametrize(
    ("got", "printed"),
    [
        pytest.param(read_mm("1 in") / 1e3, 2.54e-2, id="inch-to-m"),
        pytest.param(read_mm("1 ft") / 1e3, 3.048e-1, id="foot-to-m"),
        pytest.param(read_mm("1 yd") / 1e3, 9.144e-1, id="yard-to-m"),
        pytest.param(q.read_kg("1 lb"), 4.535924e-1, id="pound-to-kg"),
        pytest.param(q.read_kg("1 oz"), 2.834952e-2, id="ounce-to-kg"),
        pytest.param(q.read_kg_m("1 lb/ft"), 1.488164, id="pound-per-foot-to-kg/m"),
        pytest.param(q.read_kg_m2("1 lb/ft2"), 4.882428, id="pound-per-square-foot-to-kg/m2"),
        pytest.param(q.read_kg_m3("1 lb/ft3"), 1.601846e1, id="pound-per-cubic-foot-to-kg/m3"),
        pytest.param(q.read_kpa("1 psf") * 1e3, 4.788026e1, id="pound-force-per-square-foot-to-Pa"),
        pytest.param(q.read_kpa("1 psi") * 1e3, 6.894757e3, id="psi-to-Pa"),
        pytest.param(q.read_kn("1 lbf") * 1e3, 4.448222, id="pound-force-to-N"),
        pytest.param(q.read_kn("1 kip") * 1e3, 4.448222e3, id="kip-to-N"),
        pytest.param(q.read_w("1 Btu/h"), 2.930711e-1, id="Btu-IT-per-hour-to-W"),
        pytest.param(1 / q.read_per_c("1e-3 /°F") * 1e-3, 5.555556e-1, id="degree-Fahrenheit-interval-to-K"),
        pytest.param(q.read_c("68 °F"), 20.0, id="temperature-68-F"),
    ],
)
def test_a_factor_is_the_published_one(got: float, printed: float) -> None:
    assert got == pytest.approx(printed, rel=5e-7)
