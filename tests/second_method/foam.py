"""Writes what the solver reads, and reads what it writes: moist air with drops that dry, as plain text.

Choices that are not the solver's defaults, found by trial: latent heat is passed as `latentHeat` (by
differences of enthalpy it comes out several times too large); walls let drops `escape` (a drop that sticks
goes on drying at the wall); heat capacities are constant and heats of formation nil, for nothing reacts.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np

DIMENSIONS = {
    "U": "[0 1 -1 0 0 0 0]", "p": "[1 -1 -2 0 0 0 0]", "p_rgh": "[1 -1 -2 0 0 0 0]", "T": "[0 0 0 1 0 0 0]",
    "k": "[0 2 -2 0 0 0 0]", "epsilon": "[0 2 -3 0 0 0 0]", "omega": "[0 0 -1 0 0 0 0]",
    "nut": "[0 2 -1 0 0 0 0]", "alphat": "[1 -1 -1 0 0 0 0]", "kinematic": "[0 2 -2 0 0 0 0]",
}  # fmt: skip
NONE = "[0 0 0 0 0 0 0]"
DRY_AIR_CP, VAPOR_CP, WATER_CP = 1006.0, 1860.0, 4180.0  # J/kg K
DRY_AIR, WATER = 28.965, 18.0153  # kg/kmol
WATER_DENSITY = 996.0  # kg/m3, of the drops
VISCOSITY, PRANDTL = 1.9e-5, 0.71


def put(case: Path, path: str, body: str, kind: str = "dictionary") -> None:
    file = case / path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(
        f"FoamFile\n{{\n version 2.0;\n format ascii;\n class {kind};\n object {file.name};\n}}\n{body}"
    )


def field(case: Path, folder: str, name: str, value: object, patches: dict[str, str], dims: str = "") -> None:
    """A field of one value; patches: name -> entries."""
    kind = "volVectorField" if name == "U" else "volScalarField"
    edges = "".join(f"  {patch} {{ {text} }}\n" for patch, text in patches.items())
    dims = dims or DIMENSIONS.get(name, NONE)
    body = f"dimensions {dims};\ninternalField uniform {value};\nboundaryField\n{{\n{edges}}}\n"
    put(case, f"{folder}/{name}", body, kind)


def moist_air(case: Path) -> None:
    put(
        case,
        "constant/thermophysicalProperties",
        """thermoType
{
    type heRhoThermo; mixture reactingMixture; transport const; thermo hConst;
    energy sensibleEnthalpy; equationOfState incompressiblePerfectGas; specie specie;
}
dpdt no;
chemistryReader foamChemistryReader;
foamChemistryFile "<constant>/species";
foamChemistryThermoFile "<constant>/gases";
inertSpecie air;
liquids { H2O; }
solids {}
""",
    )
    put(case, "constant/species", "species ( air H2O );\nreactions {}\n")
    gases = (("air", DRY_AIR, DRY_AIR_CP), ("H2O", WATER, VAPOR_CP))
    put(
        case,
        "constant/gases",
        "".join(
            f"{name} {{ specie {{ molWeight {weight}; }} thermodynamics {{ Cp {cp}; Hf 0; }} "
            f"equationOfState {{ pRef 101325; }} transport {{ mu {VISCOSITY}; Pr {PRANDTL}; }} }}\n"
            for name, weight, cp in gases
        ),
    )
    put(case, "constant/chemistryProperties", "chemistryType { solver noChemistrySolver; }\nchemistry off;\n"
        "initialChemicalTimeStep 1e-07;\n")  # fmt: skip
    put(case, "constant/combustionProperties", "combustionModel none;\n")
    put(case, "constant/radiationProperties", "radiation off;\nradiationModel none;\nsolverFreq 10;\n")
    put(case, "constant/surfaceFilmProperties", "surfaceFilmModel none;\n")
    put(case, "constant/g", "dimensions [0 1 -2 0 0 0 0];\nvalue (0 0 -9.81);\n",
        "uniformDimensionedVectorField")  # fmt: skip
    put(case, "constant/transportProperties", "transportModel Newtonian;\nnu 1.7e-05;\n")


def turbulence(case: Path, model: str) -> None:
    put(case, "constant/turbulenceProperties",
        f"simulationType RAS;\nRAS {{ RASModel {model}; turbulence on; printCoeffs off; }}\n")  # fmt: skip


def spray(
    case: Path,
    nozzles: list[tuple[float, float, float]],
    flow: float,
    median: float,
    *,
    spread: float = 2.5,
    speed: float = 104.0,
    half_angle: float = 30.0,
    water: float = 303.15,
    parcels: int = 200,
    dries: bool = True,
) -> None:
    """Nozzles pointing down. flow: kg/s each; median: m, by mass; parcels: a second and nozzle; water: K."""
    axes = "\n".join(f"(({x} {y} {z}) (0 0 -1))" for x, y, z in nozzles)
    scale = median / math.log(2) ** (1 / spread)
    lasting = 10_000
    put(
        case,
        "constant/reactingCloud1Properties",
        f"""solution
{{
    active true; coupled true; transient yes; cellValueSourceCorrection on; maxCo 0.3;
    sourceTerms
    {{
        schemes {{ rho explicit 1; U semiImplicit 1; Yi explicit 1; h semiImplicit 1; radiation explicit 1; }}
    }}
    interpolationSchemes {{ rho cell; U cellPoint; thermo:mu cell; T cell; Cp cell; kappa cell; p cell; }}
    integrationSchemes {{ U analytical; T analytical; }}
}}
constantProperties
{{
    rho0 {WATER_DENSITY}; T0 {water}; Cp0 {WATER_CP}; constantVolume false;
    TMin 250; pMin 1000; minParcelMass 1e-18;
}}
subModels
{{
    particleForces {{ sphereDrag; gravity; }}
    injectionModels
    {{
        line
        {{
            type coneInjection; SOI 0; duration {lasting};
            positionAxis ({axes});
            massTotal {flow * len(nozzles) * lasting:.9g}; parcelBasisType mass;
            parcelsPerInjector {parcels * lasting};
            flowRateProfile constant 1; Umag constant {speed};
            thetaInner constant 0; thetaOuter constant {half_angle};
            sizeDistribution
            {{
                type massRosinRammler;
                massRosinRammlerDistribution
                {{
                    minValue 5e-06; maxValue {3 * median:.3g}; d {scale:.6g}; n {spread};
                }}
            }}
        }}
    }}
    dispersionModel stochasticDispersionRAS; patchInteractionModel standardWallInteraction;
    heatTransferModel {"RanzMarshall" if dries else "none"}; compositionModel singleMixtureFraction;
    phaseChangeModel {"liquidEvaporation" if dries else "none"};
    devolatilisationModel none; surfaceReactionModel none;
    stochasticCollisionModel none; surfaceFilmModel none;
    radiation off;
    standardWallInteractionCoeffs {{ type escape; }}
    RanzMarshallCoeffs {{ BirdCorrection off; }}
    singleMixtureFractionCoeffs
    {{
        phases ( gas {{ }} liquid {{ H2O 1; }} solid {{ }} );
        YGasTot0 0; YLiquidTot0 1; YSolidTot0 0;
    }}
    liquidEvaporationCoeffs {{ enthalpyTransfer latentHeat; activeLiquids ( H2O ); }}
}}
cloudFunctions {{ }}
""",
    )


def schemes(case: Path, folder: str, *, steady: bool) -> None:
    bounded = "bounded " if steady else ""
    limited = f"{bounded}Gauss limitedLinear 1"
    put(
        case,
        f"{folder}/fvSchemes",
        f"""ddtSchemes {{ default {"steadyState" if steady else "Euler"}; }}
gradSchemes {{ default Gauss linear; }}
divSchemes
{{
    default none;
    div(phi,U) {bounded}Gauss linearUpwind grad(U);
    div(phi,K) {limited}; div(phi,h) {limited}; div(phi,Yi_h) Gauss limitedLinear01 1;
    "div\\(phi,(k|epsilon|omega)\\)" {bounded}Gauss upwind;
    "div\\(phi,tr.*\\)" {limited};
    div((nuEff*dev2(T(grad(U))))) Gauss linear;
    div(((rho*nuEff)*dev2(T(grad(U))))) Gauss linear;
}}
laplacianSchemes {{ default Gauss linear corrected; }}
interpolationSchemes {{ default linear; }}
snGradSchemes {{ default corrected; }}
wallDist {{ method meshWave; }}
""",
    )
    relax = 'U 0.8; "(k|epsilon|omega)" 0.6;' if steady else '".*" 1;'
    gamg = "solver GAMG; smoother DICGaussSeidel; tolerance 1e-6;"
    stab = "solver PBiCGStab; preconditioner DILU;"
    names = "U|k|epsilon|omega|h|Yi|air|H2O"
    put(
        case,
        f"{folder}/fvSolution",
        f"""solvers
{{
    "rho.*" {{ solver diagonal; }}
    "(p|p_rgh)" {{ {gamg} relTol {0.05 if steady else 0.02}; }}
    "(p|p_rgh)Final" {{ {gamg} relTol 0.01; }}
    "tr.*" {{ {stab} tolerance 1e-12; relTol {1e-5 if steady else 1e-3}; }}
    "({names})" {{ {stab} tolerance 1e-8; relTol {0.1 if steady else 0.01}; }}
    "({names})Final" {{ {stab} tolerance 1e-8; relTol 0.001; }}
}}
SIMPLE {{ nNonOrthogonalCorrectors 0; consistent yes; residualControl {{ p 5e-4; U 1e-4; }} }}
PIMPLE
{{
    nOuterCorrectors 1; nCorrectors 2; nNonOrthogonalCorrectors 0; momentumPredictor yes;
    pMaxFactor 1.5; pMinFactor 0.9;
}}
relaxationFactors {{ equations {{ {relax} }} }}
""",
    )


def control(
    case: Path,
    folder: str,
    solver: str,
    end: float,
    *,
    steady: bool,
    write: float,
    first_step: float = 0.01,
    courant: float = 0.9,
    longest_step: float = 0.1,
    functions: str = "",
) -> None:
    put(
        case,
        f"{folder}/controlDict",
        f"""libs ("libatmosphericModels.so");
application {solver};
startFrom startTime; startTime 0; stopAt endTime; endTime {end}; deltaT {1 if steady else first_step};
writeControl {"timeStep" if steady else "adjustableRunTime"}; writeInterval {write}; purgeWrite 0;
writeFormat ascii; writePrecision 7; writeCompression off; timeFormat general; timePrecision 6;
runTimeModifiable no; adjustTimeStep {"no" if steady else "yes"}; maxCo {courant}; maxDeltaT {longest_step};
functions
{{
{functions}
}}
""",
    )


# ------------------------------------------------------------------ reading


def read_field(file: Path, count: int) -> np.ndarray:
    """A field's values in the cells, [cell] or [cell, 3]."""
    text = file.read_text()
    # cell volumes are written as a field of the mesh, under another heading
    found = re.search(r"\n(?:internalField|value)\s+nonuniform\s+List<(\w+)>\s*\n?(\d+)\s*\n?\(", text)
    if found is None:
        same = re.search(r"\n(?:internalField|value)\s+uniform\s+([^;]+);", text)
        if same is None:
            raise ValueError(f"{file}: no field in it")
        value = np.array(same.group(1).strip("() ").split(), float)
        return np.broadcast_to(value if len(value) > 1 else value[0], (count, *value.shape[: len(value) > 1]))
    end = text.index("\n)", found.end())
    values = text[found.end() : end]
    if found.group(1) == "vector":
        values = values.replace("(", " ").replace(")", " ")
        return np.array(values.split(), float).reshape(int(found.group(2)), 3)
    return np.array(values.split(), float)


def read_labels(file: Path) -> np.ndarray:
    text = file.read_text()
    found = re.search(r"\n(\d+)\s*\n\(", text)
    if found is None:
        raise ValueError(f"{file}: no list in it")
    return np.array(text[found.end() : text.index("\n)", found.end())].split(), int)


def read_parcels(folder: Path) -> tuple[np.ndarray, np.ndarray]:
    """Places of the parcels of drops [parcel, 3] and the mass of each [kg]."""
    text = (folder / "positions").read_text()
    rows = re.findall(r"\n\(([-\d.e+]+ [-\d.e+]+ [-\d.e+]+)\)", text)
    places = np.array([row.split() for row in rows], float).reshape(-1, 3)

    def column(name: str) -> np.ndarray:
        body = (folder / name).read_text()
        found = re.search(r"\n(\d+)\s*\n\(\s*\n", body)
        if found is None:
            return np.zeros(0)
        return np.array(body[found.end() : body.index("\n)", found.end())].split(), float)

    diameter, many = column("d"), column("nParticle")
    return places, WATER_DENSITY * np.pi / 6 * diameter**3 * many


def worst_courant(log: Path) -> float:
    found = re.findall(r"Courant Number mean: \S+ max: (\S+)", log.read_text())
    return max((float(value) for value in found[20:]), default=math.nan)
