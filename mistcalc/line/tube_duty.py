"""What the tube must stand: pressure hot, surge, water shut in, and growing warm. `checks.tube` judges."""

from __future__ import annotations

from mistcalc.model.project import Tube
from mistcalc.physics import strength


def tube_rating(tube: Tube, temperature: float) -> float:
    """Working pressure [Pa gauge] of the tube and its joints at `temperature` [K].

    Brazing anneals drawn copper; soldered joints govern where they are weaker than the tube.
    """
    temper = "annealed" if "braze" in tube.joints.lower() else tube.temper
    temper = temper if tube.material == "copper" else None
    rated = float(strength.rated_gauge(tube.material, tube.outside, tube.wall, temperature, temper=temper))
    if "solder" in tube.joints.lower():
        rated = min(rated, float(strength.soldered_joint_gauge(temperature)))
    return rated
