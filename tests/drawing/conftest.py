"""One demonstration sheet for all drawing tests: an invented L-shaped lid, 38 ft and 21 ft, 13 ft deep."""

from __future__ import annotations

import pytest

from mistcalc.drawing import frame, symbols, text_and_tables
from mistcalc.drawing.boxes import Box, along, largest_empty
from mistcalc.drawing.labels import Tag, place_tags
from mistcalc.drawing.running_dimensions import Rung, dimension, draw_running_dimensions
from mistcalc.drawing.sheet import (
    BOLD,
    JOIST_PEN,
    TUBE_PEN,
    Hatch,
    Item,
    LineSegment,
    Polyline,
    Sheet,
    Text,
    View,
)

FT = 0.3048


def feet(inches: float) -> str:
    whole, rest = divmod(round(inches * 8), 96)
    inch, eighth = divmod(rest, 8)
    return f"{whole}'-{inch}" + ("", " 1/8", " 1/4", " 3/8", " 1/2", " 5/8", " 3/4", " 7/8")[eighth] + '"'


def wall(view: View, *corners: tuple[float, float]) -> Polyline:
    points = tuple(view.paper((x * FT, y * FT)) for x, y in corners)
    return Polyline(points, True, hatch=Hatch(1.2), layer="WALL", pen=BOLD, view=view)


def run_a(view: View, names: list[Text]) -> tuple[list[Item], list[Box]]:
    items: list[Item] = []
    taken: list[Box] = []
    at = [view.paper((feet_along * FT, 0.5 * FT)) for feet_along in range(3, 38, 2)]
    for index, point in enumerate(at):
        items += symbols.mark(point, drilled=index == 1, locked=index == 4, view=view)
        names.append(
            Text(
                (point[0], point[1] + 3.8),
                f"A{index + 1}",
                3.5,
                True,
                0,
                "middle",
                True,
                layer="MARK-NAME",
                view=view,
            )
        )
        taken.append(Box(point[0] - 2.5, point[1] - 2.5, point[0] + 2.5, point[1] + 2.5))
    datum = view.paper((0, 0))
    base = (datum[0], datum[1] - 9)
    rungs = [Rung(p, feet(12 * (3 + 2 * i)), f"{12 * (3 + 2 * i)} in") for i, p in enumerate(at)]
    end = view.paper((38 * FT, 0))
    ladder = draw_running_dimensions(rungs, datum, base, 0, -90, (0, end[0] - datum[0] - 2.5), view=view)
    items += ladder.items
    items += symbols.origin(base, view)
    items.append(dimension(datum, end, (datum[0], datum[1] - 45), 0, "check 38'-0\"", view=view))
    items += symbols.datum((datum[0], datum[1] - 50), 0, view)
    items.append(Text((datum[0] + 2, datum[1] - 51.75), "DATUM A", 3.5, True, layer="DATUM", view=view))
    items.append(
        Text((datum[0] + 28, datum[1] - 51.25), "face of west wall framing", layer="DATUM", view=view)
    )
    return items, [*taken, *ladder.taken]


def run_b(view: View, names: list[Text]) -> tuple[list[Item], list[Box]]:
    items: list[Item] = []
    inches = [28 + 24 * i for i in range(10)]
    at = [view.paper((38.5 * FT, (-21 + i / 12) * FT)) for i in inches]
    for index, point in enumerate(at):
        items += symbols.mark(point, view=view)
        names.append(
            Text(
                (point[0] + 4, point[1] - 1.75),
                f"B{index + 1}",
                3.5,
                True,
                0,
                "left",
                True,
                layer="MARK-NAME",
                view=view,
            )
        )
    datum = view.paper((38 * FT, -21 * FT))
    base = (datum[0] + 18.4, datum[1])
    rungs = [Rung(p, feet(i), f"{i} in") for i, p in zip(inches, at, strict=True)]
    blocked = [(40.0, 42.0), (75.0, 76.0)]
    ladder = draw_running_dimensions(
        rungs, datum, base, 90, 0, (0, view.length(21 * FT)), blocked, 14.0, view=view
    )
    items += ladder.items
    items += symbols.origin(base, view)
    items += symbols.datum((base[0], datum[1] - 3.2), 90, view)
    items.append(Text((base[0] + 6, datum[1] - 8), "DATUM B", 3.5, True, layer="DATUM", view=view))
    return items, list(ladder.taken)


def plan(view: View) -> list[Item]:
    names: list[Text] = []
    a, taken_a = run_a(view, names)
    b, taken_b = run_b(view, names)
    put = lambda x, y: view.paper((x * FT, y * FT))  # noqa: E731
    thick = [
        wall(view, (-0.5, -0.4), (0, -0.4), (0, 13), (17, 13), (17, 13.5), (-0.5, 13.5)),
        wall(
            view,
            (29, 13),
            (51, 13),
            (51, -21),
            (38, -21),
            (38, -21.5),
            (51.5, -21.5),
            (51.5, 13.5),
            (29, 13.5),
        ),
    ]
    edges = [((0, 0), (38, 0)), ((38, 0), (38, -21))]
    tube = [((0.2, 0.5), (38.5, 0.5)), ((38.5, 0.5), (38.5, -20.8))]
    items: list[Item] = [*thick]
    items += [LineSegment(put(*p), put(*q), layer="LID", pen=BOLD, view=view) for p, q in edges]
    items += [LineSegment(put(*p), put(*q), layer="TUBE", pen=TUBE_PEN, view=view) for p, q in tube]
    for k in range(28):
        x = 16 / 12 * k + 16 / 12
        items.append(LineSegment(put(x, 0), put(x, 13), layer="FRAME", pen=JOIST_PEN, view=view))
        items += symbols.joist_bar(put(x, 0.5), view.length(1.5 / 12 * FT), 0, view)
    items += symbols.joint(put(19.9, 0), put(19.9, 13), view)
    items.append(
        Text(
            (put(19.9, 9)[0] + 1.2, put(19.9, 9)[1]),
            "J1 19'-11\"",
            turn=90,
            mask=True,
            layer="JOINT",
            view=view,
        )
    )
    things = {"L1": (3.3, 6.5), "L2": (16.6, 2.7), "L3": (23.3, 6.5), "L4": (36.6, 6.5), "L6": (46.0, -4.0)}
    solid = [box for p, q in (*edges, *tube) for box in along(put(*p), put(*q), 3.0)]
    for place in things.values():
        items += symbols.light(put(*place), view)
        solid.append(Box(*put(*place), *put(*place)).grown(2.2))
    for place in ((9.9, 6.5), (29.9, 6.5)):
        items += symbols.fan(put(*place), view.length(2.5 * FT), view)
        solid.append(Box(*put(*place), *put(*place)).grown(view.length(2.5 * FT)))
    items += symbols.blocked(put(14, 2.1), put(19, 2.1), -90, view=view)
    items += symbols.warning((put(18.2, 2.7)), 1, view)
    solid += [Box(*put(14, 1.8), *put(19, 2.15)), Box(*put(18.2, 2.7), *put(18.2, 2.7)).grown(3.2)]
    solid += [Box(*put(*p), *put(*q)) for p, q in (((-0.5, -0.4), (0, 13.5)), ((-0.5, 13), (51.5, 13.5)))]
    solid += [Box(*put(19.9, 0), *put(19.9, 13)).grown(0.5)]
    items += symbols.post(put(19.9, 0.25), 2.2, 2.2, 0, view)
    items += symbols.letter_box((put(0, 0.5)[0] - 6, put(0, 0.5)[1]), "F", view)
    items += symbols.stop((put(48, -16)), 3, "STOP", view)
    lines = {
        name: [name, f"along {feet(12 * x)}", f"back {feet(12 * abs(y))}"] for name, (x, y) in things.items()
    }
    tags = [
        Tag(put(*things[name]), 2.0, max(Text((0, 0), t).width for t in text) + 0.5, 3 * 2.5 * 1.3)
        for name, text in lines.items()
    ]
    zone = frame.PAPERS["11x17"].zone
    written = [*taken_a, *taken_b, *(n.box() for n in names)]
    for tag, text in zip(place_tags(tags, zone, solid, written), lines.values(), strict=True):
        assert tag is not None
        for i, words in enumerate(text):
            x = (
                tag.box.left
                if tag.align == "left"
                else tag.box.right
                if tag.align == "right"
                else tag.box.middle[0]
            )
            at = (x, tag.box.top - 2.6 - 3.25 * i)
            items.append(Text(at, words, 2.5, i == 0, 0, tag.align, True, layer="OBST", view=view))
    return [*items, *a, *b, *names]


def strip_words(number: str, count: str) -> frame.TitleBlock:
    return frame.TitleBlock(
        "FOR ROUGH-IN", "This set", "7KM 4Q2", "Same code on every sheet and on the phone.",
        "Invented lane", "An invented courtyard lid, 38 ft and 21 ft.",
        (
            frame.StripSection(
                "WE ASSUMED",
                tuple(
                    text_and_tables.Paragraph(text, sign="–", indent=3)
                    for text in ("Joists 16 in o.c.", "Plaster 7/8 in", "Hole 1 in; 3/4 in clear of members")
                ),
                "and {n} more",
            ),
            frame.StripSection(
                "BEFORE YOU DRILL", (text_and_tables.Paragraph("Test with water, never with gas."),)
            ),
        ),
        (("Rev", "Date", "For"), ("A", "2026-05-04", "rough-in"), ("", "", "")),
        (("Drawn", "mistcalc"), ("Checked", ""), ("Scale", "1:48"), ("Print", "11 x 17, 100 %")),
        "Lid plan, marks", number, count,
    )  # fmt: skip


def plan_sheet() -> Sheet:
    paper = frame.PAPERS["11x17"]
    view = View("plan", 48, (26.0, 170.0))
    items = [*frame.border(paper), *frame.strip(paper, strip_words("R-1", "1 of 2"))[0], *plan(view)]
    free = largest_empty(paper.zone.grown(-3), [i.box() for i in items if i.layer != "SHEET"], (120, 40))
    assert free is not None
    free = free.grown(-3)
    items.append(Text((free.left, free.top - 5), "REFLECTED CEILING PLAN", 5.0, True, layer="NOTE"))
    length = frame.bar_length(48, 5, 2 * FT)
    caption = f"If this bar is not {length:.1f} mm long the print is not to scale."
    items += frame.bar_scale((free.left, free.top - 14), 48, 5, 2 * FT, ((0, "0"), (5, "10 ft")), caption)
    third = (free.width - 12) / 3
    columns = [
        Box(free.left + i * (third + 6), free.bottom, free.left + i * (third + 6) + third, free.top - 22)
        for i in range(3)
    ]
    notes = [
        text_and_tables.heading("SET OUT"),
        text_and_tables.Paragraph("Hook the tape at datum A and pull east.", sign="1", indent=5),
        text_and_tables.Paragraph(
            "Read the big number. It is always from the datum, never from the last mark.", sign="2", indent=5
        ),
        text_and_tables.heading("WHAT THE SIGNS MEAN"),
        text_and_tables.Paragraph("Mark: drill 1 in hole here", sign=symbols.mark, indent=10, before=2.5),
        text_and_tables.Paragraph("Light", sign=symbols.light, indent=10, before=2.5),
        text_and_tables.Paragraph(
            "Look at note 1", sign=lambda at: symbols.warning(at, 1), indent=10, before=3
        ),
    ]
    items += text_and_tables.flow_text(notes, columns).items
    return Sheet(paper.width, paper.height, tuple(items), "Lid plan, marks", "R-1")


def table_sheet() -> Sheet:
    paper = frame.PAPERS["11x17"]
    columns = (
        text_and_tables.TableColumn(12, "Done", "middle"),
        text_and_tables.TableColumn(14, "Mark", "middle", 3.5, True),
        text_and_tables.TableColumn(30, "FROM DATUM", "right", 3.5, True),
        text_and_tables.TableColumn(20, "inches", "right"),
        text_and_tables.TableColumn(16, "mm", "right"),
        text_and_tables.TableColumn(38, "Next to it"),
        text_and_tables.TableColumn(26, "Measured"),
        text_and_tables.TableColumn(28, "After plaster", "right", heavy=True),
    )
    rows = [text_and_tables.Row(span="RUN A", words="from DATUM A, face of west wall framing, pull east.")]
    for i in range(18):
        along_ = 36 + 24 * i
        warn = (
            text_and_tables.Cell("4 in past joist", lambda at: symbols.warning(at, 1), 7)
            if i == 6
            else "4 in past joist"
        )
        done = text_and_tables.Cell(sign=symbols.tick_box)
        rows.append(
            text_and_tables.Row(
                (
                    done,
                    f"A{i + 1}",
                    feet(along_),
                    str(along_),
                    f"{along_ * 25.4:.0f}",
                    warn,
                    "",
                    feet(along_ - 0.875),
                )
            )
        )
    zone = paper.zone.grown(-5)
    items: list[Item] = [*frame.border(paper), *frame.strip(paper, strip_words("R-2", "2 of 2"))[0]]
    items.append(Text((zone.left, zone.top - 5), "MARKS TABLE", 5.0, True))
    items += text_and_tables.table(columns, rows, (zone.left, zone.top - 10), zone.bottom).items
    section = View("section", 2, (zone.right - 70, 120.0))
    joist = tuple(section.paper(p) for p in ((0, 0), (0.0381, 0), (0.0381, 0.14), (0, 0.14)))
    items += [Polyline(joist, True, hatch=Hatch(), layer="FRAME", pen=BOLD, view=section)]
    items.append(dimension(joist[0], joist[1], (0, 110), 0, '1 1/2"', view=section))
    for i, solid in enumerate((False, True)):
        items += symbols.range_shape(60 - 10 * i, 260, 270, 290, 300, solid=solid)
    items += symbols.north((250, 60))
    return Sheet(paper.width, paper.height, tuple(items), "Marks table", "R-2")


@pytest.fixture(scope="session")
def sheets() -> list[Sheet]:
    return [plan_sheet(), table_sheet()]
