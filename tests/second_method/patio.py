"""One case of the comparison, written for the solver: mesh, outdoor wind, house, lid, line of nozzles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mistcalc.physics import air
from tests.second_method import foam
from tests.second_method.cases import AIRS, CELL, MODEL, Case
from tests.second_method.shapes import SHAPES, Box, Shape

FLOW = 6.6 / 3600 * 0.9922  # kg/s of one nozzle
MEDIAN = 30e-6  # m
ROUGHNESS = 0.03  # m, of the ground
WIND_HEIGHT = 1.5  # m, where the case's wind is stated
KARMAN = 0.41
STRETCH = 1.25
UPWIND, DOWNWIND, ABOVE = 15.0, 30.0, 11.0  # m, of the domain about lid and house
STEADY_PASSES = 400
SIDES = ("xlo", "xhi", "ylo", "yhi")
WALLS = ("ground", "house", "lid")


@dataclass(frozen=True)
class Run:
    """A case on a mesh with a model of turbulence."""

    case: Case
    cell: float = CELL
    model: str = MODEL

    @property
    def name(self) -> str:
        return f"{self.case.name}@{self.cell:g}-{self.model}"

    @property
    def shape(self) -> Shape:
        return SHAPES[self.case.shape]

    @property
    def calm(self) -> bool:
        return self.case.wind == 0

    @property
    def air(self) -> tuple[float, float]:
        """Outdoors: K, kg/kg of dry air."""
        t, humidity = AIRS[self.case.air]
        return t, float(air.humidity_ratio(t, humidity, 101325.0))

    @property
    def toward(self) -> tuple[float, float]:
        angle = math.radians(self.case.toward)
        return round(math.sin(angle), 12), round(math.cos(angle), 12)

    @property
    def inlets(self) -> tuple[str, ...]:
        x, y = self.toward
        return (("xlo",) if x > 0 else ("xhi",) if x < 0 else ()) + (
            ("ylo",) if y > 0 else ("yhi",) if y < 0 else ()
        )

    @property
    def outlets(self) -> tuple[str, ...]:
        opposite = {"xlo": "xhi", "xhi": "xlo", "ylo": "yhi", "yhi": "ylo"}
        return tuple(opposite[side] for side in self.inlets)


def write(run: Run, folder: Path) -> int:
    """Everything but the fields that depend on the flow; how many cells the mesh has before the house."""
    axes = _axes(run)
    np.savez(folder / "axes.npz", **axes)
    _mesh(folder, axes)
    _areas(folder, run)
    _fields(folder, run)
    foam.moist_air(folder)
    foam.turbulence(folder, run.model)
    foam.spray(folder, run.shape.nozzles, FLOW, MEDIAN)
    for name in ("off", "mist"):
        foam.schemes(folder, f"system/{name}", steady=name == "off")
    foam.control(folder, "system/off", "simpleFoam", STEADY_PASSES, steady=True, write=STEADY_PASSES)
    return math.prod(len(axis) - 1 for axis in axes.values())


# ------------------------------------------------------------------ mesh


def _axes(run: Run) -> dict[str, np.ndarray]:
    """Even over the patio, then ever wider; a plane of cells lies on every face of the house."""
    x0, y0, x1, y1 = run.shape.bounds
    boxes = run.shape.house
    (tx, ty), top = run.toward, max(run.case.house, run.shape.lid_height)

    def reach(low: float, high: float, part: float) -> tuple[float, float]:
        if run.calm:
            return low - UPWIND, high + UPWIND
        before, after = (UPWIND, DOWNWIND) if part > 0 else (DOWNWIND, UPWIND)
        return (low - before, high + after) if abs(part) > 1e-6 else (low - UPWIND, high + UPWIND)

    xs = [x0, x1, *(b[0] for b in boxes), *(b[2] for b in boxes)]
    ys = [y0, y1, *(b[1] for b in boxes), *(b[3] for b in boxes)]
    ends = reach(min(xs), max(xs), tx), reach(min(ys), max(ys), ty)
    return {
        "x": axis([*xs, *ends[0]], x0, x1, run.cell),
        "y": axis([*ys, *ends[1]], y0, y1, run.cell),
        "z": axis([0.0, run.shape.lid_height, top, top + ABOVE], 0.0, run.shape.lid_height, run.cell),
    }


def axis(stops: list[float], low: float, high: float, cell: float) -> np.ndarray:
    """Points through every stop, `cell` apart from low to high, and growing by STRETCH away from there."""
    core = np.linspace(low, high, round((high - low) / cell) + 1)
    after = _grown(high, sorted({s for s in stops if s > high}), cell)
    before = _grown(-low, sorted({-s for s in stops if s < low}), cell)
    return np.concatenate([-np.array(before[::-1]), core, after])


def _grown(start: float, stops: list[float], step: float) -> list[float]:
    points: list[float] = []
    for stop in stops:
        sizes: list[float] = []
        while sum(sizes) < stop - start - 1e-9:
            step *= STRETCH
            sizes.append(step)
        if len(sizes) > 1 and sum(sizes) - (stop - start) > sizes[-1] / 2:
            sizes.pop()  # nearer to the stop with one cell less
        scale = (stop - start) / sum(sizes)
        points += (start + np.cumsum(sizes) * scale).tolist()
        step = sizes[-1] * scale
        start = stop
    return points


def _mesh(folder: Path, axes: dict[str, np.ndarray]) -> None:
    """A lattice of unit cells; `place_points` moves it onto the axes, simpler than a block for each part."""
    nx, ny, nz = (len(axes[a]) - 1 for a in "xyz")
    corners = " ".join(f"({x} {y} {z})" for z in (0, nz) for x, y in ((0, 0), (nx, 0), (nx, ny), (0, ny)))
    foam.put(
        folder,
        "system/blockMeshDict",
        f"""scale 1;
vertices ({corners});
blocks (hex (0 1 2 3 4 5 6 7) ({nx} {ny} {nz}) simpleGrading (1 1 1));
boundary
(
  xlo {{ type patch; faces ((0 4 7 3)); }} xhi {{ type patch; faces ((1 2 6 5)); }}
  ylo {{ type patch; faces ((0 1 5 4)); }} yhi {{ type patch; faces ((3 7 6 2)); }}
  sky {{ type patch; faces ((4 5 6 7)); }} ground {{ type wall; faces ((0 3 2 1)); }}
  house {{ type wall; faces (); }} lid {{ type wall; faces (); }}
);
""",
    )


def place_points(folder: Path) -> None:
    axes = np.load(folder / "axes.npz")
    file = folder / "constant/polyMesh/points"
    text = file.read_text()
    begin = text.index("(", text.index("\n(")) + 1
    end = text.index("\n)", begin)
    numbers = np.array(text[begin:end].replace("(", " ").replace(")", " ").split(), float)
    lattice = np.rint(numbers).astype(int).reshape(-1, 3)
    placed = np.stack([axes[a][lattice[:, i]] for i, a in enumerate("xyz")], axis=1)
    body = "\n".join(f"({x:.9g} {y:.9g} {z:.9g})" for x, y, z in placed)
    file.write_text(f"{text[:begin]}\n{body}{text[end:]}")


def _box(box: Box, low: float, high: float, grow: float = 0.0) -> str:
    x0, y0, x1, y1 = box
    return f"({x0 - grow:.3f} {y0 - grow:.3f} {low:.3f}) ({x1 + grow:.3f} {y1 + grow:.3f} {high:.3f})"


def _cells(name: str, boxes: list[str]) -> str:
    return "\n".join(
        f"{{ name {name}; type cellSet; action {'add' if n else 'new'}; source boxToCell; box {box}; }}"
        for n, box in enumerate(boxes)
    )


def _areas(folder: Path, run: Run) -> None:
    shape, top = run.shape, run.shape.lid_height
    house = _cells("keep", [_box(box, -1, run.case.house) for box in shape.house])
    invert = "{ name keep; type cellSet; action invert; }"
    foam.put(folder, "system/topoSetDict.house", f"actions\n(\n{house}\n{invert}\n);\n")
    thin = [*(_box(box, top - 0.01, top + 0.01, 0.01) for box in shape.lids)]
    thin += [_box(box, 0.0, high, 0.01) for box, high in shape.yard_walls]
    faces = "\n".join(
        f"{{ name lid; type faceSet; action {'add' if n else 'new'}; source boxToFace; box {box}; }}"
        for n, box in enumerate(thin)
    )
    zone = "{ name lid; type faceZoneSet; action new; source setToFaceZone; faceSet lid; }"
    foam.put(folder, "system/topoSetDict.lid", f"actions\n(\n{faces}\n{zone}\n);\n")
    both = "master { name lid; type wall; } slave { name lid; type wall; }"
    baffles = f"baffles {{ lid {{ type faceZone; zoneName lid; patches {{ {both} }} }} }}"
    foam.put(folder, "system/createBafflesDict", f"internalFacesOnly true;\n{baffles}\n")
    # The tracers are fed over sets of cells, which may lie over each other; a cell has one zone only.
    patio = _cells("patio", [_box(box, 0, top) for box in shape.lids])
    half = max(run.cell, 0.2)
    near = [
        _box((min(xa, xb) - half * (xa == xb), min(ya, yb) - half * (ya == yb),
              max(xa, xb) + half * (xa == xb), max(ya, yb) + half * (ya == yb)), top - half, top)
        for (xa, ya), (xb, yb) in shape.lines
    ]  # fmt: skip
    foam.put(folder, "system/topoSetDict.areas", f"actions\n(\n{patio}\n{_cells('line', near)}\n);\n")


# ------------------------------------------------------------------ fields


def _fields(folder: Path, run: Run) -> None:
    for where, moist in (("0.off", False), ("0.mist", True)):
        for name, (value, patches) in _flow(run).items():
            foam.field(folder, where, name, value, patches)
        if moist:
            for name, (value, patches) in _moist(run).items():
                foam.field(folder, where, name, value, patches)
        else:
            zero, fixed = "type zeroGradient;", "type fixedValue; value uniform 0;"
            pressure = {**dict.fromkeys((*SIDES, "sky", *WALLS), zero), **dict.fromkeys(run.outlets, fixed)}
            foam.field(folder, where, "p", 0, pressure, foam.DIMENSIONS["kinematic"])


def _sides(run: Run, inlet: str, outlet: str, beside: str, sky: str, wall: str) -> dict[str, str]:
    """In a calm every side may let air in or out, as an outlet may."""
    if run.calm:
        around = dict.fromkeys(SIDES, outlet)
    else:
        around = {s: inlet if s in run.inlets else outlet if s in run.outlets else beside for s in SIDES}
    return {**around, "sky": sky, **dict.fromkeys(WALLS, wall)}


def _either(value: object) -> str:
    return f"type inletOutlet; inletValue uniform {value}; value uniform {value};"


def _flow(run: Run) -> dict[str, tuple[object, dict[str, str]]]:
    wind, (tx, ty) = run.case.wind, run.toward
    friction = KARMAN * wind / math.log((WIND_HEIGHT + ROUGHNESS) / ROUGHNESS)
    k = friction**2 / 0.3 if wind else 1e-3
    epsilon = friction**3 / (KARMAN * WIND_HEIGHT) if wind else 1e-4
    u = f"({tx * wind:.6g} {ty * wind:.6g} 0)" if wind else "(0 0 0)"
    layer = (
        f"flowDir ({tx} {ty} 0); zDir (0 0 1); Uref {wind}; Zref {WIND_HEIGHT}; z0 uniform {ROUGHNESS}; "
        "zGround uniform 0;"
    )
    out = "type pressureInletOutletVelocity; value uniform (0 0 0);" if run.calm else (
        f"type inletOutlet; inletValue uniform (0 0 0); value uniform {u};")  # fmt: skip
    slip, zero = "type slip;", "type zeroGradient;"

    def inlet(name: str, value: object) -> str:
        return f"type atmBoundaryLayerInlet{name}; {layer} value uniform {value};"

    def wall(kind: str, value: object) -> str:
        return f"type {kind}WallFunction; value uniform {value};"

    fields: dict[str, tuple[object, dict[str, str]]] = {
        "U": (u, _sides(run, inlet("Velocity", u), out, slip, slip, "type noSlip;")),
        "k": (k, _sides(run, inlet("K", k), _either(k), zero, zero, wall("kqR", k))),
    }
    if run.model.startswith("kOmega"):
        omega = epsilon / (0.09 * k)
        fixed = f"type fixedValue; value uniform {omega:.6g};"
        fields["omega"] = omega, _sides(run, fixed, _either(omega), zero, zero, wall("omega", omega))
    else:
        fields["epsilon"] = (
            epsilon,
            _sides(run, inlet("Epsilon", epsilon), _either(epsilon), zero, zero, wall("epsilon", epsilon)),
        )
    calculated = "type calculated; value uniform 0;"
    fields["nut"] = 0, _sides(run, *[calculated] * 4, wall("nutk", 0))
    return fields


def _moist(run: Run) -> dict[str, tuple[object, dict[str, str]]]:
    t, ratio = run.air
    share = ratio / (1 + ratio)
    zero, hydrostatic = "type zeroGradient;", "type fixedFluxPressure; value uniform 101325;"
    calculated, fixed = "type calculated; value uniform {};", "type fixedValue; value uniform {};"
    fields: dict[str, tuple[object, dict[str, str]]] = {
        "p": (101325, _sides(run, *[calculated.format(101325)] * 5)),
        "p_rgh": (
            101325,
            _sides(run, hydrostatic, fixed.format(101325), hydrostatic, hydrostatic, hydrostatic),
        ),
        "alphat": (
            0,
            _sides(run, *[calculated.format(0)] * 4,
                   "type compressible::alphatWallFunction; Prt 0.85; value uniform 0;"),
        ),
    }  # fmt: skip
    for name, value in (("T", t), ("H2O", f"{share:.9f}"), ("air", f"{1 - share:.9f}")):
        fields[name] = value, _sides(run, fixed.format(value), _either(value), zero, zero, zero)
    return fields
