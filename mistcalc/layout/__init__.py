"""Where every nozzle comes through the lid: patio in, Layout out. Numbers only."""

from mistcalc.layout.as_built import beside_wood, drilled_holes
from mistcalc.layout.changes import changes_since
from mistcalc.layout.joint_proposal import with_proposed_joints
from mistcalc.layout.lay_out import lay
