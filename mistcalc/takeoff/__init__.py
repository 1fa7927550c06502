"""What to buy and saw: the materials list, how its tube is cut, and what it costs at the project's prices."""

from mistcalc.takeoff.cut_plan import cut_plans
from mistcalc.takeoff.parts_list import list_parts
from mistcalc.takeoff.price_parts import first_cost, open_packs
