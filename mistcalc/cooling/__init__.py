"""What the patio's air becomes: plumes and outdoor air brought to agree, as a range."""

from mistcalc.cooling.afternoons import afternoons, every_hour
from mistcalc.cooling.breeze import breeze
from mistcalc.cooling.card import state_card
from mistcalc.cooling.picture import pictures

__all__ = ["afternoons", "breeze", "every_hour", "pictures", "state_card"]
