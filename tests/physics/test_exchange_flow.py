"""Flow through open sides, against the handbook's coefficients and worked arithmetic."""

import numpy as np

from mistcalc.physics import ventilation


def test_flow_grows_with_the_difference():
    assert np.all(np.diff(ventilation.buoyant_flow(np.linspace(0, 20, 50), 10.0, 3.0, 310.0)) > 0)
