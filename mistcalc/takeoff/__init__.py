"""What to buy and saw: the materials list, and what it costs at the project's own prices."""

from mistcalc.takeoff.price_parts import first_cost
from mistcalc.takeoff.parts_list import list_parts, sticks

__all__ = ["first_cost", "list_parts", "sticks"]
