"""The code that every sheet of a job carries."""

from __future__ import annotations

from dataclasses import replace

from mistcalc.model.content_digest import fingerprint
from mistcalc.model.earlier_set import EarlierSet
from mistcalc.model.project import Prices, Project
from mistcalc.model.results import Air


def _shown(project: Project) -> Project:
    """The project without prices and languages: nothing is built otherwise for them, so paper on site stays
    good, and a Spanish set has the code of the English one."""
    return replace(project, prices=Prices(), tariff=None, language="en", crew_language=None)


def code_of_contents(project: Project, airs: tuple[Air, ...], before: EarlierSet | None = None) -> str:
    """Six letters and figures that change with anything the sheets show: stale paper gives itself away.

    No 0, 1, I, L, O or U, which a builder could misread over the telephone.
    """
    alphabet = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
    number = int(fingerprint(_shown(project), airs, *(() if before is None else (before,))), 16)
    signs = ""
    for _ in range(6):
        number, digit = divmod(number, len(alphabet))
        signs += alphabet[digit]
    return f"{signs[:3]} {signs[3:]}"
