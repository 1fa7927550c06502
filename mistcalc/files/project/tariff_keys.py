"""Keys of `[tariff]`: water, sewer and power as a utility bills them."""

from __future__ import annotations

from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec, choice, quantity

WATER_MONTH, POWER_MONTH = ("0 m3", "100000 m3"), ("0 kWh", "1000000 kWh")  # of any house


def _tariff(price: str, amount: str, ends: tuple[str, str], **more: ValueSpec) -> TableSpec:
    months = ValueSpec("month", many="pair")
    of_month = {"low": ends[0], "high": ends[1]}
    like = ("3000 gal", "12 m3") if amount == "volume" else ("500 kWh", "500 kWh")
    return TableSpec(
        {
            "fixed": quantity("price_month"),
            "minimum": quantity("price_month"),
            "includes": quantity(amount, **of_month, like=like),
            "tier": TableListSpec(
                TableSpec(
                    {
                        "up_to": quantity(amount, **of_month, positive=True, like=like),
                        "price": quantity(price, required=True),
                        "months": months,
                    }
                ),
                most=40,
                required=True,
            ),
            "adder": TableListSpec(
                TableSpec(
                    {
                        "price": quantity(price, required=True),
                        "months": months,
                        "hours": ValueSpec("clock", many="pair"),
                    }
                ),
                most=20,
            ),
            "tax": quantity("share", low="0 %", high="100 %", like=("8 %", "8 %")),
            **more,
        },
        optional=True,
    )


TARIFF = TableSpec(
    {
        "household_water": quantity(
            "volume", low="0 m3", high="100000 m3", many="year", like=("9000 gal", "34 m3")
        ),
        "household_power": quantity(
            "energy", low="0 kWh", high="1000000 kWh", many="year", like=("880 kWh", "880 kWh")
        ),
        "water": _tariff("price_volume", "volume", WATER_MONTH),
        "sewer": _tariff(
            "price_volume",
            "volume",
            WATER_MONTH,
            by=choice("use", "winter average", required=True),
            winter=ValueSpec("month", ("Jan Mar", "Jan Mar"), many="pair", listed=False),
        ),
        "power": _tariff("price_energy", "energy", POWER_MONTH),
    },
    optional=True,
)
