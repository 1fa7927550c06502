"""The owner's page: how much cooler the air should be, as ranges; what gets wet; when to turn it off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mistcalc.drawing import alerts, fonts, symbols, text_and_tables
from mistcalc.drawing.alerts import Alert
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, THIN, Item, LineSegment, Pen, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import PLACES, Cooling, Design, MistVerdict
from mistcalc.report import open_space
from mistcalc.report.common.findings_by_reader import cautions
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.paragraph_spacing import closer
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner import afternoon_text
from mistcalc.report.owner.care_page import care_pages
from mistcalc.report.owner.measuring_day_page import measuring_day_pages
from mistcalc.report.owner.more_page import more_pages
from mistcalc.report.owner.patio_map_page import map_pages
from mistcalc.report.owner.range_axis import RangeAxis
from mistcalc.report.owner.season_page import season_pages
from mistcalc.report.owner.sun_page import sun_pages

DOTTED = Pen(0.25, (0.8, 1.4))
NAMES, RANGES = 33.0, 34.0  # room for words on the left of the shapes, on their right [mm]
ROWS = (7.0, 6.3, 5.6)  # from one shape to the next, less where the page's foot then finds room [mm]
FOOT = 7.0  # of the page, for its number [mm]
WINDS = 40.0  # room for the kinds of wind [mm]


def owner_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """Two pages a patio, and one of the sun where it reaches a seat; then one of a typical year, one for a
    measuring day and one to keep; upright, with nothing a builder needs."""
    afternoons: list[SheetDraft] = []
    left: dict[Paragraph, None] = {}
    for patio in design.project.patios:
        days = [cooled for cooled in design.cooling if cooled.patio == patio.name]
        if not days:
            continue
        items = _CoolingPage(design, patio.name, days, paper.inside.grown(-2.0), locale).draw()
        afternoons.append(
            SheetDraft(paper, locale.label("paper_owner.title"), tuple(items), patio.name, kind="owner")
        )
        maps, over = map_pages(design, patio.name, paper, locale)
        sunny, more = sun_pages(design, patio.name, paper, locale)
        afternoons += [*maps, *sunny]
        left |= dict.fromkeys([*more, *over])
    others = [*season_pages(design, paper, locale), *measuring_day_pages(design, paper, locale)]
    return (*_with_left(afternoons, others, tuple(left), paper, locale), *care_pages(design, paper, locale))


def _with_left(
    afternoons: Sequence[SheetDraft],
    others: Sequence[SheetDraft],
    left: tuple[Paragraph, ...],
    paper: PaperSize,
    locale: Locale,
) -> list[SheetDraft]:
    """What of the afternoons found no room where it belongs: in what stands open where that takes all of it,
    closer together at need; else on a page of its own behind them."""
    title = text_and_tables.heading(locale.label("paper_owner.more"))
    for words in (left, tuple(closer(left))):
        drafts, rest = open_space.fill([*afternoons, *others], words, title)
        if not rest:
            return drafts
    return [*afternoons, *more_pages(left, paper, locale), *others]


@dataclass
class _CoolingPage:
    design: Design
    patio: str
    days: Sequence[Cooling]
    room: Box
    locale: Locale
    row: float = ROWS[0]

    def __post_init__(self) -> None:
        box = self.room
        self.left, self.right = box.left + 4.0, box.right - 4.0
        self.axis = RangeAxis(self.days, self.locale.units)

    def x(self, value: float) -> float:
        start, end = self.left + NAMES, self.right - RANGES
        return start + (end - start) * self.axis.share(value)

    def draw(self) -> list[Item]:
        for self.row in ROWS:
            items = self.drawn()
            if min(item.box().bottom for item in items) >= self.room.bottom + FOOT:
                break
        return items

    def drawn(self) -> list[Item]:
        items: list[Item] = []
        y = self.head(items)
        y = self.scale(items, y)
        for day in self.days:
            y = self.day(items, day, y)
        y = self.chances(items, y)
        self.foot(items, y)
        return items

    def words(self, items: list[Item], y: float, *told: Paragraph) -> float:
        flowed = text_and_tables.flow_text(told, [Box(self.left, -1000.0, self.right, y)])
        items += flowed.items
        return flowed.bottom

    def rule(self, items: list[Item], y: float, pen: Pen) -> float:
        items.append(LineSegment((self.left, y), (self.right, y), layer="NOTE", pen=pen))
        return y

    def head(self, items: list[Item]) -> float:
        label, project = self.locale.label, self.design.project
        title = label("paper_owner.title")
        wide = fonts.width(title, 7.0, True)
        size = min(7.0, 7.0 * (self.right - self.left) / wide)
        many = len(self.design.layouts) > 1
        job = job_name(project, self.locale)
        job = label("paper_owner.job_patio", name=job, patio=self.patio) if many else job
        y = self.words(items, self.room.top - 2.0, Paragraph(title, size, bold=True))
        y = self.words(items, y - 2.0, Paragraph(label("paper_owner.lead", name=job, about=project.about)))
        boxes, y = alerts.draw(self.warned(), Box(self.left, -1000.0, self.right, y - 2.0), 3.5)
        items += boxes
        return self.rule(items, y - 2.5, BOLD)

    def verdict(self, day: Cooling) -> MistVerdict:
        return self.design.verdict_of(self.patio, day.afternoon)

    def scale(self, items: list[Item], y: float) -> float:
        label = self.locale.label
        y -= 6.5
        unit = label("paper_owner.cooler_by")
        items.append(Text((self.right, y - 0.5), unit, 2.5, True, align="right", layer="NOTE"))
        items.append(
            LineSegment((self.x(self.axis.low), y), (self.x(self.axis.high), y), layer="NOTE", pen=THIN)
        )
        for tick in self.axis.ticks:
            x = self.x(tick)
            items.append(LineSegment((x, y - 1.0), (x, y + 1.0), layer="NOTE", pen=THIN))
            items.append(Text((x, y + 2.2), f"{tick:g}", 2.5, align="middle", layer="NOTE"))
        return y - 2.0

    def day(self, items: list[Item], day: Cooling, y: float) -> float:
        """One afternoon: three shapes on the common scale, their ranges in words, and what to do."""
        label = self.locale.label
        verdict = self.verdict(day)
        y -= 3.2
        y = self.words(
            items, y, Paragraph(afternoon_text.short(self.design, day, self.locale), 3.5, bold=True)
        )
        y -= 4.0
        advice = Text(
            (self.right, y), label(f"paper_owner.do_{verdict.advice}"), 2.5, True, align="right", layer="NOTE"
        )
        air_text = fonts.fit(self.air_of(day), 2.5, self.right - self.left - advice.width - 4.0)
        items += [Text((self.left, y), air_text, layer="NOTE"), advice]
        top = y - 2.5
        for place in PLACES:
            y -= self.row
            self.shape(items, day, place, y + 1.2, place == "seats" and verdict.call == "run")
        for tick in self.axis.ticks:
            items.append(LineSegment((self.x(tick), top), (self.x(tick), y - 2.4), layer="NOTE", pen=DOTTED))
        more = [label(f"paper_owner.{sign}") for sign in verdict.signs]
        more += [label("paper_owner.dewy_at", seats=verdict.glasses)] if verdict.glasses else []
        y -= 3.4
        if more:
            y = self.words(items, y, Paragraph(" ".join(more), bold=True)) - 2.6
        return self.rule(items, y, THIN)

    def air_of(self, day: Cooling) -> str:
        air = afternoon_text.air_of(self.design, day)
        return self.locale.label(
            "paper_owner.air", dry_bulb=air.middle("temperature"), humidity=air.middle("relative_humidity"),
            wind=air.middle("wind"),
        )  # fmt: skip

    def shape(self, items: list[Item], day: Cooling, place: str, y: float, solid: bool) -> None:
        label, seats = self.locale.label, place == "seats"
        low, quarter, three, high = (self.x(value) for value in self.axis.bands[day.afternoon, place])
        narrow = max(0.0, 1.2 - (high - low)) / 2  # a range too narrow to see is drawn a hair wide
        items += symbols.range_shape(y, low - narrow, quarter, three, high + narrow, 2.4, solid)
        name = fonts.fit(label(f"paper_owner.place_{place}"), 2.5, NAMES - 2.0, seats)
        items.append(Text((self.left, y - 1.25), name, 2.5, seats, layer="NOTE"))
        first, _, last = day.band(place)
        span = self.locale.span(first, last)
        items.append(Text((self.right, y - 1.75), span, 3.5, seats, align="right", layer="NOTE"))

    def chances(self, items: list[Item], y: float) -> float:
        """What the shapes are of, and the winds, for anyone to look up."""
        typed = afternoon_text.air_of(self.design, self.days[0]).hours_used == 0
        told = [self.locale.label("paper_owner.shapes_typed" if typed else "paper_owner.shapes")]
        past = {self.verdict(day).past_measured for day in self.days} - {None}
        told += [self.locale.label("paper_owner.past_measured", most=most) for most in past]
        y = self.words(items, y - 3.0, Paragraph(" ".join(told)))
        return self.rule(items, self.winds(items, y - 2.5) - 0.5, BOLD)

    def winds(self, items: list[Item], y: float) -> float:
        """A row a kind of wind, a column an afternoon; nothing where no wind was told apart."""
        head, rows = afternoon_text.wind_table(self.days, self.locale)
        if not rows:
            return y
        wide = (self.right - self.left - WINDS) / len(self.days)
        for number, line in enumerate([head, *rows]):
            for column, words in enumerate(line):
                x = self.left + (WINDS + (column - 1) * wide if column else 0.0)
                fitted = fonts.fit(words, 2.5, (wide if column else WINDS) - 2.0, number == 0)
                items.append(Text((x, y - 2.5), fitted, 2.5, number == 0, layer="NOTE"))
            y -= 4.4
        shown = {name for name, *_ in rows}
        meant = {kind: self.locale.label(f"told.row_{kind}") in shown for kind in ("calm", "light", "breeze")}
        words = self.locale.label("told.winds_meant", **meant, sides=True)
        return self.words(items, y - 1.0, Paragraph(words))

    def foot(self, items: list[Item], y: float) -> None:
        """Three short columns."""
        columns = (self.wet(), self.uses(), self.stops())
        wide = (self.right - self.left - 8.0) / 3
        for index, paragraphs in enumerate(columns):
            left = self.left + index * (wide + 4.0)
            items += text_and_tables.flow_text(paragraphs, [Box(left, -1000.0, left + wide, y - 3.5)]).items

    def warned(self) -> list[Alert]:
        """Where to read on before anybody touches the line."""
        worst = next((caution.level for caution in cautions(self.design.findings, "owner")), "caution")
        word = self.locale.label(f"level.{worst}")
        return [
            Alert(word, (Paragraph(self.locale.label("paper_owner.first", **line_conditions(self.design))),))
        ]

    def wet(self) -> list[Paragraph]:
        label = self.locale.label
        paragraphs = [text_and_tables.heading(label("paper_owner.wet"), 2.5, rule=False)]
        for day in self.days:
            full = {"wet": 1.0, "damp": 0.5, "dry": 0.0}[self.verdict(day).floor]
            low, _, high = day.fate("floor_under")
            name = label(f"afternoon.{day.afternoon}")
            words = label("paper_owner.floor", day=name, low=low, high=high)
            paragraphs.append(Paragraph(words, sign=_tick(full), indent=7.0, before=1.6))
        return paragraphs

    def uses(self) -> list[Paragraph]:
        label, line = self.locale.label, self.design.line
        paragraphs = [text_and_tables.heading(label("paper_owner.uses"), 2.5, rule=False)]
        paragraphs.append(Paragraph(label("paper_owner.water", volume=self.design.use.an_hour), before=1.6))
        power = line.duty.electric_power
        if power is not None:
            paragraphs.append(Paragraph(label("paper_owner.power", power=power), before=1.6))
        return paragraphs

    def stops(self) -> list[Paragraph]:
        label, control = self.locale.label, self.design.project.control
        sliders = [o.name for p in self.design.project.patios if p.name == self.patio
                   for o in p.obstacles if o.kind == "door glass"]  # fmt: skip
        mast = "_mast" if control.wind_measured_at == "mast" else ""
        sides = tuple(f"wind-{side}" for side in control.not_from)
        sentences = [
            label(f"paper_owner.stop_wind{mast}", wind=control.wind_stop),
            *([label("paper_owner.stop_side", sides=sides)] if sides else []),
            label("paper_owner.stop_humid", humidity=control.humidity_stop),
            label("paper_owner.stop_floor"),
            *([label("paper_owner.stop_door", doors=tuple(sliders))] if sliders else []),
        ]
        head = text_and_tables.heading(label("paper_owner.stop"), 2.5, rule=False)
        return [head, *(Paragraph(words, before=1.6) for words in sentences)]


def _tick(full: float) -> text_and_tables.Sign:
    return lambda at: symbols.tick_box(at, 4.0, full)
