"""What to buy and saw: the materials list, and what it costs at the project's own prices."""

from mistcalc.takeoff.parts_list import list_parts, sticks
from mistcalc.takeoff.price_parts import first_cost

__all__ = ["first_cost", "list_parts", "sticks"]
