"""CoolProp's properties of water and air, loaded by the first test that asks: it takes a second, and every
worker reads every file of tests."""

from typing import Any


def PropsSI(*asked: Any) -> Any:
    from CoolProp.CoolProp import PropsSI as found

    return found(*asked)


def HAPropsSI(*asked: Any) -> Any:
    from CoolProp.HumidAirProp import HAPropsSI as found

    return found(*asked)
