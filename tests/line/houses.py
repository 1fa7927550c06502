"""Lines as a fitter would write them in a project file. Every house is invented."""

from mistcalc import design, files
from mistcalc.line.piping.pipe_graph import lay_route

_PATIO = """
[[patio]]
name = "{name}"
depth = "10 ft"
height = "{height}"
{runs}
"""
_RUN = """
[[patio.run]]
name = "{name}"
length = "{length}"
framing = {{ lies = "along" }}
{more}
"""
_HEAD = """\
format = 1
name = "Invented house"
[place]
elevation = "100 m"
climate = "el-paso"
"""


def runs(*told):
    return "".join(_RUN.format(name=name, length=length, more=more) for name, length, more in told)


def house(*patios, line):
    lids = (_PATIO.format(name=name, height=height, runs=text) for name, height, text in patios)
    return _HEAD + "".join(lids) + line


# Two sides of a court, the far end led back to the pump: water goes round both ways.
RING = house(
    ("court", "9 ft", runs(("A", "24 ft", 'then = "inside corner"'), ("B", "18 ft", ""))),
    line="""
[[line.piece]]
from = "pump"
to = "A start"
length = "30 ft"
rise = "9 ft"
fittings = { elbow = 4, "ball valve" = 1 }
[[line.piece]]
from = "A end"
to = "B start"
length = "0 in"
fittings = { elbow = 1 }
[[line.piece]]
from = "B end"
to = "pump"                  # its rise is left out: it falls the 9 ft again
length = "46 ft"
fittings = { elbow = 3 }
[pump]
""",
)

# A tee in the feed, a second tee midway along run A, and a leg to the drain by the side door.
BRANCHES = house(
    ("front", "9 ft", runs(("A", "24 ft", ""))),
    ("side", "9 ft", runs(("B", "12 ft", ""))),
    ("back", "8 ft", runs(("C", "16 ft", ""))),
    line="""
[[line.piece]]
from = "pump"
to = "tee 1"
length = "20 ft"
rise = "9 ft"
fittings = { elbow = 2, "ball valve" = 1 }
[[line.piece]]
from = "tee 1"
to = "A start"
length = "6 ft"
[[line.piece]]
from = "tee 1"
to = "B start"
length = "25 ft"
fittings = { elbow = 2 }
[[line.piece]]
from = "A at 12 ft"
to = "C start"
length = "30 ft"
rise = "-1 ft"
fittings = { elbow = 3 }
[[line.piece]]
from = "B end"
to = "drain"
length = "8 ft"
rise = "-8 ft"
[line.drain]
at = "drain"
[pump]
""",
)

# A porch and a pergola, two feet apart in height, fed from one pump through a 1/2 in main.
TWO_PATIOS = house(
    ("porch", "9 ft", runs(("A", "20 ft", ""))),
    ("pergola", "11 ft", runs(("P", "14 ft", ""))),
    line="""
[[line.piece]]
from = "pump"
to = "tee"
length = "60 ft"
rise = "9 ft"
tube = { outside = "1/2 in", wall = "0.049 in" }
fittings = { "ball valve" = 1, elbow = 3 }
[[line.piece]]
from = "tee"
to = "A start"
length = "4 ft"
[[line.piece]]
from = "tee"
to = "P end"
length = "40 ft"
rise = "2 ft"
[[line.run]]
name = "P"
tube = { outside = "1/4 in", wall = "0.035 in" }
nozzle = { label = "0.008 in orifice", flow = "0.0208 gpm", at = "1000 psi", opens_at = "60 psi" }
[pump]
""",
)

# On the mains: narrow tube along a warm wall, one coarse nozzle by the plants.
MIXED = house(
    ("yard", "8 ft", runs(("A", "20 ft", 'fixed = [ { name = "A5", along = "10 ft" } ]'))),
    line="""
[line.tube]
material = "nylon"
outside = "3/8 in"
wall = "1/16 in"
[[line.piece]]
from = "water point"
to = "A start"
length = "40 ft"
rise = "8 ft"
temperature = "95 degF"
tube = { outside = "1/2 in", wall = "0.0625 in" }
fittings = { elbow = 2 }
[[line.run]]
name = "A"
temperature = "104 degF"
[[line.mark]]
name = "A5"
nozzle = { flow = "2 gph", at = "40 psi" }
[water]
static = "60 psi"
residual = "48 psi"
at_flow = "3 gpm"
""",
)


# Both rows on one feed, round a corner, and a third run with a row of its own: its tee is at its far end.
TWO_ROWS = house(
    (
        "court", "9 ft",
        runs(
            ("A", "24 ft", 'second_row = { back = "5 ft" }\nthen = "inside corner"'),
            ("B", "18 ft", 'second_row = { back = "6 ft" }'),
        ),
    ),
    ("yard", "8 ft", runs(("C", "20 ft", 'second_row = { back = "4 ft" }'))),
    line="""
[[line.piece]]
from = "pump"
to = "A start"
length = "30 ft"
rise = "9 ft"
fittings = { elbow = 4 }
[[line.piece]]
from = "A end"
to = "B start"
length = "0 in"
fittings = { elbow = 1 }
[[line.piece]]
from = "B end"
to = "C end"
length = "22 ft"
rise = "-1 ft"
[pump]
""",
)  # fmt: skip


def laid(text):
    """(plumbing, layouts) of a project text."""
    project = files.parse_project(text)
    return project.plumbing, tuple(layout for layout, _ in design.lay_all(project))


def solved(text):
    return design.solve_line(*laid(text))[0]


def routed(text):
    return lay_route(*laid(text))
