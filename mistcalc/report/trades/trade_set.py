"""Every trade's page as a file of its own, so that a builder sends just that."""

from __future__ import annotations

from collections.abc import Callable

from mistcalc.drawing import pdf, svg
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Sheet
from mistcalc.model.results import Design
from mistcalc.report.common.calendar_text import plastered
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.trades.electrician import electrician_slip
from mistcalc.report.trades.framer import framer_slip
from mistcalc.report.trades.installer import installer_slip
from mistcalc.report.trades.painter import painter_slip
from mistcalc.report.trades.plasterer import plasterer_slip
from mistcalc.report.trades.plumber import plumber_slip
from mistcalc.report.trades.slip import Slip
from mistcalc.report.trades.slip_page import slip_sheets

SLIPS: dict[str, Callable[[Design, Locale], Slip]] = {
    "framer": framer_slip,
    "electrician": electrician_slip,
    "plumber": plumber_slip,
    "installer": installer_slip,
    "plasterer": plasterer_slip,
    "painter": painter_slip,
}


def trade_sheets(design: Design, locale: Locale) -> dict[str, tuple[Sheet, ...]]:
    """The sheets of each trade by its name; of a plasterer only where there is plaster."""
    paper = PAPERS["letter" if locale.units == "us" else "A4"]
    names = [name for name in SLIPS if name != "plasterer" or plastered(design)]
    return {name: slip_sheets(design, SLIPS[name](design, locale), paper, locale) for name in names}


def trade_files(design: Design, locales: tuple[Locale, ...]) -> dict[str, bytes]:
    """trade-framer.pdf and so on: a page in each language after the other."""
    sheets = [trade_sheets(design, locale) for locale in locales]
    return {
        f"trade-{name}.pdf": pdf.write(
            [sheet for told in sheets for sheet in told[name]], job_name(design.project, locales[0])
        )
        for name in sheets[0]
    }


def trade_pictures(design: Design, locale: Locale) -> dict[str, tuple[str, ...]]:
    """The same sheets for a screen, as SVG, by the name of the file that holds them."""
    return {
        f"trade-{name}.pdf": tuple(svg.write(sheet) for sheet in sheets)
        for name, sheets in trade_sheets(design, locale).items()
    }
