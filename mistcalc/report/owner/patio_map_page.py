"""The owner's second page: the patio in plan, the afternoons side by side, and what each seat may expect."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, THIN, Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design
from mistcalc.report.common import screens
from mistcalc.report.common.findings_by_reader import about_air
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner import afternoon_text, map_classes
from mistcalc.report.owner.felt_temperature_text import seat_line
from mistcalc.report.owner.printed_map import COOLER, WET, PrintedMap
from mistcalc.report.owner.printed_plan import TALLEST, hatched, outlined
from mistcalc.report.owner.sun_page import sun_words

GAP, WIDEST = 5.0, 88.0  # mm between maps; the widest one may be
HEIGHTS = (TALLEST, 44.0, 36.0, 28.0)  # mm, the tallest a map may be: the first with room for the words
FOOT = 7.0  # mm, for the code at the foot of the sheet
FELT_SEATS = 6  # up to so many seats have a line of their own on how it feels


def map_pages(
    design: Design, patio: str, paper: PaperSize, locale: Locale
) -> tuple[tuple[SheetDraft, ...], tuple[Paragraph, ...]]:
    """The maps and what to expect; what finds no room is left over. Without a picture there is no page."""
    for tallest in HEIGHTS:
        page = _MapPage(design, patio, paper.inside.grown(-2.0), locale, tallest)
        if not page.pairs:
            return (), ()
        items, rest = page.draw()
        if page.complete:
            break
    return (SheetDraft(paper, locale.label("map.head"), tuple(items), patio, kind="owner"),), rest


@dataclass
class _MapPage:
    design: Design
    patio: str
    room: Box
    locale: Locale
    tallest: float  # mm, of a map
    complete: bool = True  # once drawn: all that belongs to the maps has found room under them

    def __post_init__(self) -> None:
        self.left, self.right = self.room.left + 4.0, self.room.right - 4.0
        self.low = self.room.bottom + FOOT
        pairs = (self.design.picture_of(self.patio, air.name) for air in self.design.afternoons)
        self.pairs = [pair for pair in pairs if pair is not None]
        pictures = [picture for picture, _ in self.pairs]
        self.scale = map_classes.scale_of(pictures, self.locale.units)

    def draw(self) -> tuple[list[Item], tuple[Paragraph, ...]]:
        items: list[Item] = []
        label = self.locale.label
        y = self.words(items, self.room.top - 2.0, Paragraph(label("map.head"), 5.0, bold=True))
        y = self.rule(items, y - 3.0)
        for layer in ("cooler", "floor"):
            y = self.words(items, y - 4.0, Paragraph(label(f"map.paper_{layer}"), bold=True))
            y = self.maps(items, layer, y - 2.0)
            y = self.legend(items, layer, y - 3.0)
        told = (
            *self.seats(),
            *self.screens(),
            Paragraph(label("map.one_case")),
            self.ceiling(),
            *sun_words(self.design, self.patio, self.locale),
        )
        under = text_and_tables.flow_text(told, [Box(self.left, self.low, self.right, y - 3.0)])
        items += under.items
        self.complete = not under.left_over
        y = under.bottom - 3.0
        if y - 3.0 > self.low:
            self.rule(items, y)
        paragraphs = [
            *under.left_over,
            *(
                Paragraph(self.locale.say(finding), sign="–", indent=3.0, before=2.0)
                for picture, _ in self.pairs
                for finding in about_air(self.design, self.patio, picture.afternoon)
            ),
            *self.find_out(),  # last: what goes on elsewhere is set under the head it stood under
        ]
        columns = self.columns(y - 3.0)
        flowed = text_and_tables.flow_text(paragraphs, columns)
        items += flowed.items
        return items, flowed.left_over

    def find_out(self) -> tuple[Paragraph, ...]:
        """What makes the first afternoon's range so wide, and what finding out would narrow."""
        first = self.design.cooling_of(self.patio, self.pairs[0][0].afternoon)
        head, sentences = afternoon_text.worth_measuring(self.design, first, self.locale)
        if not sentences:
            return ()
        split = Paragraph(afternoon_text.range_causes(first, self.locale), keep=1)
        rows = (Paragraph(sentence, sign="–", indent=3.0, before=1.0) for sentence in sentences)
        return split, Paragraph(f"{head}:", bold=True, before=1.5, keep=1), *rows

    def columns(self, top: float) -> list[Box]:
        half = (self.right - self.left - 5.0) / 2
        return [Box(x, self.low, x + half, max(top, self.low)) for x in (self.left, self.left + half + 5.0)]

    def words(self, items: list[Item], y: float, *told: Paragraph) -> float:
        flowed = text_and_tables.flow_text(told, [Box(self.left, -1000.0, self.right, y)])
        items += flowed.items
        return flowed.bottom

    def rule(self, items: list[Item], y: float) -> float:
        items.append(LineSegment((self.left, y), (self.right, y), layer="NOTE", pen=BOLD))
        return y

    def maps(self, items: list[Item], layer: str, y: float) -> float:
        """The afternoons side by side, each with its name above and its wind and means beneath."""
        count = len(self.pairs)
        wide = min((self.right - self.left - GAP * (count - 1)) / count, WIDEST)
        lows = []
        for index, (picture, wet) in enumerate(self.pairs):
            left = self.left + index * (wide + GAP)
            name = self.locale.label(f"afternoon.{picture.afternoon}").upper()
            items.append(Text((left, y - 2.6), name, 2.5, True, layer="NOTE"))
            drawn = PrintedMap(
                self.design, picture, wet, layer, self.scale, (left, y - 5.0), wide, self.locale,
                self.tallest,
            )  # fmt: skip
            items += drawn.items()
            flowed = text_and_tables.flow_text(
                drawn.told(), [Box(left, -1000.0, left + wide, drawn.bottom - 3.0)]
            )
            items += flowed.items
            lows.append(flowed.bottom)
        return min(lows)

    def legend(self, items: list[Item], layer: str, y: float) -> float:
        sets = COOLER if layer == "cooler" else WET
        x = self.left
        for level in range(len(sets) + 1):
            name = map_classes.level_name(layer, level, self.scale, self.locale)
            words = Text((0.0, 0.0), name, layer="NOTE")
            if x + 11.5 + words.width > self.right:
                x, y = self.left, y - 6.5
            box = Box(x, y - 5.0, x + 10.0, y)
            items += hatched(np.full((1, 1), level), np.ones((1, 1), dtype=bool), box, sets)
            items += [outlined(box, THIN), replace(words, at=(x + 11.5, y - 3.8))]
            x += 11.5 + words.width + 4.0
        return y - 5.0

    def seats(self) -> tuple[Paragraph, ...]:
        """Each numbered seat with its range on every afternoon."""
        names = [seat.name for seat in self.design.layout_of(self.patio).lid.seats]
        paragraphs = []
        for index in range(len(self.pairs[0][0].seats)):
            days = []
            for picture, _ in self.pairs:
                low, _, high = self.design.cooling_of(self.patio, picture.afternoon).seat_band(index)
                day = self.locale.label(f"afternoon.{picture.afternoon}")
                days.append(self.locale.label("map.day_span", day=day, span=self.locale.span(low, high)))
            name = names[index] if names else self.locale.label("map.no_seat")
            words = self.locale.label("map.seat", name=name, days=", ".join(days))
            paragraphs.append(Paragraph(words, sign=str(index + 1), indent=5.0, before=0.6))
            if len(names) <= FELT_SEATS and (felt := self.felt(index)):
                paragraphs.append(Paragraph(felt, indent=5.0))
        return tuple(paragraphs)

    def screens(self) -> tuple[Paragraph, ...]:
        sentences = screens.map_words(self.design.layout_of(self.patio), self.locale)
        return tuple(Paragraph(words, before=0.8) for words in sentences)

    def felt(self, seat: int) -> str:
        """How the first afternoon feels at one seat; empty where the index has no answer."""
        first = self.pairs[0][0].afternoon
        locale, feel = self.locale, self.design.cooling_of(self.patio, first).feel
        columns = seat_line(feel, seat, locale)
        day = locale.label(f"afternoon.{first}")
        return locale.label("map.seat_felt", day=day, columns=columns) if columns else ""

    def ceiling(self) -> Paragraph:
        """Why a slogan says more than these maps."""
        first = self.pairs[0][0].afternoon
        note = map_classes.claims_note(self.design, self.design.cooling_of(self.patio, first), self.locale)
        return Paragraph(note, before=0.8)
