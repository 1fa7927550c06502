"""Friction, fittings and multiple outlets against handbooks and an independent library."""

import fluids.friction
import numpy as np
import pytest

from mistcalc.errors import MistcalcError
from mistcalc.physics import pipe, water
from tests.published.cases import Source

FLUIDS = Source(
    page="fluids-friction",
    subject="The line",
    title="Friction factors of the fluids library",
    cite="fluids 1.3 (Bell and others): Churchill 1977, Swamee & Jain 1976, Colebrook, as its tests print "
    "them",
    read="computed",
    limits="Between Re 2,000 and 4,000 no law is right; Churchill is only smooth there.",
)
WHITE = Source(
    page="white-oil-pipe",
    subject="The line",
    title="White, oil in a cast pipe",
    cite="White, Fluid Mechanics, worked example on head loss: 200 mm, e/D 0.0013, 0.2 m³/s, 1e-5 m²/s, 500 "
    "m",
    read="memory",
)
CRANE = Source(
    page="crane-7-15",
    subject="The line",
    title="Crane TP-410, example 7.15",
    cite="Crane TP-410, example 7.15: water at 70 degF (62.298 lb/ft³, 0.95 cP), 100 gpm through 500 ft of "
    "3 in schedule 40 "
    "(bore 3.068 in, roughness 0.0022 in), lift 400 ft, four elbows K 0.516, gate valve 0.138, lift check "
    "25.20, exit "
    "1, pump of 0.70. The book prints 421 ft and 15.2 hp; 420.3 ft and 15.15 hp worked with more figures",
    read="derived",
    limits="A large pipe in full turbulence.",
)
COPPER = Source(
    page="copper-friction",
    subject="The line",
    title="Friction in 1/2 in copper, irrigation tables",
    cite="irrigation friction tables, type K 1/2 in copper, bore 0.527 in",
    read="page",
    limits="The tables follow Hazen-Williams, whose slope does not fit smooth small bores.",
)
KELLER = Source(
    page="christiansen-factor",
    subject="The line",
    title="Christiansen's factor for many outlets",
    cite="Keller and Bliesner, Sprinkle and Trickle Irrigation, table 8.7: m 1.852, first outlet one "
    "spacing in",
    read="page",
)
MUNSON = Source(
    page="munson-fittings",
    subject="The line",
    title="Losses of screwed fittings",
    cite="Munson and others, Fundamentals of Fluid Mechanics, table 8.2",
    read="page",
    limits="Measured in larger, turbulent fittings; ours add a share for slow flow.",
)
FOOT, INCH, GALLON, PSI = 0.3048, 0.0254, 3.785411784e-3, 6894.757293168
GPM = GALLON / 60


def test_friction_at_printed_values():
    nine = "figures printed"
    ours = pipe.friction_factor(1e5, 1e-4)
    FLUIDS.check("Churchill, Re 1e5, e/D 1e-4", ours, 0.018462625, "", rel=1e-7, because=nine)
    explicit = "explicit laws are stated to be within about 1 % of Colebrook"
    for law in ("churchill", "swamee-jain-cubic"):
        for rough, colebrook in ((1e-4, 0.018513866), (0.0, 0.017989773)):
            ours = pipe.friction_factor(1e5, rough, law)
            what = f"Colebrook by {law}, Re 1e5, e/D {rough:g}"
            FLUIDS.check(what, ours, colebrook, "", rel=0.01, because=explicit)
        ours = pipe.friction_factor(128.0, 0.0, law)
        FLUIDS.check(f"64/Re by {law}, Re 128", ours, 0.5, "", rel=1e-9, because="exact")


def test_both_laws_against_the_library():
    re, rough = (x.ravel() for x in np.meshgrid(np.geomspace(4001.0, 1e8, 60), [0.0, 1e-5, 2e-4, 5e-3, 0.05]))
    rows = list(zip(re, rough, strict=True))
    where = "Re 4,001 to 1e8, e/D 0-0.05"
    theirs = [fluids.friction.Churchill_1977(*row) for row in rows]
    ours = pipe.friction_factor(re, rough)
    FLUIDS.check(f"Churchill, {where}", ours, theirs, "", rel=1e-9, because="the same equation")
    theirs = [fluids.friction.Swamee_Jain_1976(*row) for row in rows]
    ours = pipe.friction_factor(re, rough, "swamee-jain-cubic")
    because = "6.97/Re in a 0.9th power there, 5.74 here: two roundings of one equation"
    FLUIDS.check(f"Swamee-Jain, {where}", ours, theirs, "", rel=2e-3, because=because)


def test_white_oil_in_a_cast_pipe():
    f = pipe.friction_factor(pipe.reynolds(0.2, 0.2, 1e-5), 0.0013)
    because = "Colebrook there, Churchill here"
    WHITE.check("friction factor", f, 0.0227, "", rel=0.01, because=because)
    loss = pipe.pressure_loss(0.2, 500.0, 0.2, 0.0013 * 0.2, density=900.0, viscosity=900.0 * 1e-5)
    head = pipe.head_loss(loss, 900.0, 9.81) * 0.0227 / f
    WHITE.check("head loss, with the book's own factor", head, 117, "m", rel=0.005, because="rounding of 117")


def test_crane_pump_head_and_power():
    density = 62.298 * 0.45359237 / FOOT**3
    loss = pipe.pressure_loss(
        100 * GPM,
        500 * FOOT,
        3.068 * INCH,
        0.0022 * INCH,
        density=density,
        viscosity=0.95e-3,
        minor_k=4 * 0.516 + 0.138 + 25.20 + 1.0,
    )
    because = "rounding of the book's own figures"
    head = 400 * FOOT + pipe.head_loss(loss, density)
    CRANE.check("pump head", head / FOOT, 420.3, "ft", rel=3e-3, because=because)
    power = density * pipe.GRAVITY * head * 100 * GPM / 0.70
    CRANE.check("shaft power", power / 745.699872, 15.15, "hp", rel=3e-3, because=because)


def test_copper_tube_against_irrigation_tables():
    t = (60 + 459.67) / 1.8
    gpm = np.array([1, 2, 4])
    loss = pipe.pressure_loss(
        gpm * GPM, 100 * FOOT, 0.527 * INCH, density=water.density(t), viscosity=water.viscosity(t)
    )
    COPPER.check(
        "loss in 100 ft at 60 degF", loss / PSI, [1.20, 4.33, 15.67], "psi", rel=0.15,
        because="Hazen-Williams against Darcy-Weisbach in a smooth small bore", x=gpm, axis="flow, gpm",
    )  # fmt: skip


def test_christiansen_factor_of_the_published_table():
    outlets = np.array([2, 10, 40])
    ours = pipe.multi_outlet_factor(outlets, 1.852)
    told = [0.639, 0.402, 0.363]
    because = "three figures printed"
    KELLER.check("2, 10 and 40 outlets", ours, told, "", within=1e-3, because=because)


def test_fittings_of_the_handbook_table_and_none_is_free():
    for kind, k in (("tee run", 0.9), ("tee branch", 2.0), ("elbow", 1.5), ("ball valve", 0.05)):
        MUNSON.check(
            kind, pipe.fitting(kind).k, k, "", within=0.005, because="the table's own figure is used"
        )
    assert all(f.k > 0 and f.laminar > 0 for f in pipe.FITTINGS.values())
    with pytest.raises(MistcalcError, match="unknown-fitting"):
        pipe.fitting("gizmo")
