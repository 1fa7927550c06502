"""What a pump set or the water main can hold at each flow: falling curves, straight between points."""

from __future__ import annotations

from mistcalc.errors import RangeError
from mistcalc.model.project import Tank

Curve = tuple[tuple[float, float], ...]  # (m3/s, Pa gauge), flow rising, pressure falling

DROOP, SLIP = 0.02, 0.03  # pump set: common practice, no source (regulators hold 1-2 %)
FLOW_TEST_EXPONENT = 1.0 / 0.54  # NFPA 291, Recommended Practice for Fire Flow Testing: flow as drop^0.54
_STEPS = 10  # chords up to the tested flow: the curve is understated by at most 0.2 % of the tested drop


def pump_curve(
    set_pressure: float, flow: float, set_at: float | None = None, droop: float = DROOP, slip: float = SLIP
) -> Curve:
    """A displacement pump with a regulating bypass: holds its pressure up to its flow, then just passes it.

    Parameters
    ----------
    set_pressure : Pa gauge, what the gauge was set to while `set_at` flowed.
    flow : rated flow of the pump at that pressure, m3/s.
    set_at : m3/s, 0 to `flow`; None is the rated flow. Usually all nozzles of the largest zone.
    droop : share of set pressure lost from no flow to rated flow; above 0, a curve is never flat.
    slip : share of the rated flow that leaks back inside the pump at rated pressure and is passed on at
        none; above 0, a curve is never vertical.

    Returns three points: no flow, rated flow, no pressure. Raises RangeError for values that are none.
    """
    set_at = flow if set_at is None else set_at
    for name, value, high, unit in (
        ("set pressure", set_pressure, 1e9, "Pa"),
        ("pump flow", flow, 1.0, "m3/s"),
        ("droop", droop, 0.5, ""),
        ("slip", slip, 0.5, ""),
    ):
        if not 0.0 < value <= high:
            raise RangeError(name, value, 0.0, high, unit)
    if not 0.0 <= set_at <= flow:
        raise RangeError("flow the pressure was set at", set_at, 0.0, flow, "m3/s")
    fall = droop * set_pressure
    at_rest = set_pressure + fall * set_at / flow
    return ((0.0, at_rest), (flow, at_rest - fall), (flow * (1.0 + slip), 0.0))


def mains_curve(static: float, residual: float, at_flow: float) -> Curve:
    """The main at the water point, from one test: `static` with nothing open, `residual` [Pa gauge] while
    `at_flow` [m3/s] ran.

    Pressure drops as flow to the power 1/0.54 (NFPA 291), here as chords below the curve, up to the flow
    at which none is left. Raises RangeError unless 0 <= residual < static and at_flow > 0.
    """
    if not 0.0 < static < 1e8:
        raise RangeError("static pressure", static, 0.0, 1e8, "Pa")
    if not 0.0 <= residual < static:
        raise RangeError("residual pressure", residual, 0.0, static, "Pa")
    if not 0.0 < at_flow <= 1.0:
        raise RangeError("test flow", at_flow, 0.0, 1.0, "m3/s")
    drop = static - residual
    last = (static / drop) ** (1.0 / FLOW_TEST_EXPONENT)  # of the test flow, at no pressure
    shares = [i / _STEPS for i in range(_STEPS + 1)]
    while shares[-1] * 1.25 < last:
        shares.append(shares[-1] * 1.25)
    if last > shares[-1] * 1.001:
        shares.append(last)
    return tuple((share * at_flow, static - drop * share**FLOW_TEST_EXPONENT) for share in shares)


def lift_curve(tank: Tank) -> Curve:
    """What the pump behind a tank holds: its pressure up to its flow, then no more water."""
    return pump_curve(tank.lift, tank.at_flow)


def gauge_at(curve: Curve, flow: float) -> float:
    """Pressure [Pa gauge] a supply holds at `flow` [m3/s]; straight on beyond its last point."""
    piece = next((i for i, point in enumerate(curve[1:-1]) if flow <= point[0]), len(curve) - 2)
    (q0, p0), (q1, p1) = curve[piece : piece + 2]
    return p0 + (p1 - p0) * (flow - q0) / (q1 - q0)
