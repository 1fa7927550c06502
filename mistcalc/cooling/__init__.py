"""What the patio's air becomes: plumes and outdoor air brought to agree, as a range."""

from mistcalc.cooling.afternoons import afternoons, every_hour
from mistcalc.cooling.breeze import breeze
from mistcalc.cooling.card import state_card
from mistcalc.cooling.measured import measured_drops, narrowed, outdoors, seat_names
from mistcalc.cooling.picture import pictures

__all__ = [
    "afternoons",
    "breeze",
    "every_hour",
    "measured_drops",
    "narrowed",
    "outdoors",
    "pictures",
    "seat_names",
    "state_card",
]
