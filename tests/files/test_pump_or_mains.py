"""From a pump to house water alone and back: nothing of the file is lost, each line has parts of its own."""

from __future__ import annotations

import pytest

from mistcalc import files
from mistcalc.files.project.pump_or_mains import ASIDE

HOUSE = """\
# an invented house
format = 1
name = "invented"
[place]
elevation = "100 ft"
climate = "houston"
[[patio]]
name = "P"
depth = "10 ft"
[[patio.run]]
name = "A"
length = "20 ft"
"""
PUMPED = f"""{HOUSE}
[line]
[[line.piece]]
from = "pump"   # beside the laundry
to = "A start"
length = "25 ft"
fittings = {{ "solenoid valve" = 1 }}
[[line.zone]]
name = "all"
runs = ["A"]
valves = ["pump to A start"]
[line.nozzle]   # bought
# a remark between
flow = "0.03 gpm"
at = "900 psi"
[pump]
set_pressure = "900 psi"   # no more
[pump.nameplate]
flow = "1 gpm"
pressure = "1000 psi"
motor = "1 hp"
volts = "115 V"
"""
FEED = '[[line.piece]]\nfrom = "water point"\nto = "pump"\nlength = "12 ft"\n[[line.zone]]'
DOTTED = """\
line.nozzle.flow = "0.03 gpm"
line.nozzle.at = "900 psi"
pump.set_pressure = "900 psi"
"""
TEXTS = {
    "all said": PUMPED,
    "a feed to the pump": PUMPED.replace("[[line.zone]]", FEED),
    "nothing said": f"{HOUSE}[pump]\n",
    "keys with dots": DOTTED + HOUSE,
    "as Windows writes it": PUMPED.replace("\n", "\r\n"),
    "courtyard": files.example_text("courtyard"),
    "bayou": files.example_text("bayou", "es"),
}


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_there_and_back_is_the_same_file(text):
    mains = files.other_supply(text)
    plumbing = files.parse_project(mains).plumbing
    assert plumbing.pump is None
    assert plumbing.nozzle.at < 10e5, "nozzles for 900 psi do nothing on the main"
    assert files.other_supply(mains) == text


def test_what_is_set_aside_comes_back_over_what_stood_in_meanwhile():
    """On the mains its own nozzles are typed; with the pump its own are there, then the main's again."""
    mains = files.other_supply(PUMPED) + '[line.nozzle]\nflow = "1 gph"\nat = "55 psi"\n'
    pumped = files.other_supply(mains)
    assert files.parse_project(pumped).plumbing == files.parse_project(PUMPED).plumbing
    assert files.other_supply(pumped) == mains


def test_a_line_on_the_mains_gets_a_pump_with_all_assumed():
    text = files.new_project_text("invented", ["9 m"], "3 m", [], None, "en", files.FirstAnswers(mains=True))
    pumped = files.parse_project(files.other_supply(text))
    assert pumped.plumbing.pump is not None and "pump.set_pressure" in pumped.assumed
    assert pumped.plumbing.tube.material.startswith("stainless"), "a push-in nylon line would burst"
    again = files.other_supply(files.other_supply(text))
    assert files.parse_project(again) == files.parse_project(text)
    assert [line for line in again.splitlines() if not line.startswith(ASIDE)] == [*text.splitlines(), ""]


def test_a_plastic_tube_whose_rating_is_stated_stays():
    rated = '[line.tube]\nmaterial = "nylon"\noutside = "3/8 in"\nwall = "0.0625 in"\nrated = "1200 psi"\n'
    text = HOUSE + rated
    pumped = files.parse_project(files.other_supply(text)).plumbing
    assert pumped.tube == files.parse_project(text).plumbing.tube
