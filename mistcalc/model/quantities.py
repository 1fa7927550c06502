"""Units of the fields of nouns: SI throughout, water pressures gauge."""

from typing import Annotated

Metre = Annotated[float, "m"]
Kelvin = Annotated[float, "K"]
Pascal = Annotated[float, "Pa gauge"]
CubicMetrePerSecond = Annotated[float, "m3/s"]
MetrePerSecond = Annotated[float, "m/s"]
Radian = Annotated[float, "rad"]
Watt = Annotated[float, "W"]
Volt = Annotated[float, "V"]
Share = Annotated[float, "0..1"]
KilogramPerCubicMetre = Annotated[float, "kg/m3"]
