"""Border, strip, tables, columns, bar scale, ladders: nothing sticks out, nothing is lost in silence."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from mistcalc.drawing import frame, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.running_dimensions import Rung, draw_running_dimensions
from mistcalc.drawing.sheet import Circle, Dimension, Polyline, Text

from .conftest import strip_words


def test_the_drawing_zone_of_11x17_is_the_one_stated():
    """The look: frame 15.75 left and right, 9.65 top and bottom, strip 52: zone 348 x 260."""
    zone = frame.PAPERS["11x17"].zone
    assert (zone.width, zone.height) == pytest.approx((348, 260), abs=0.5)


def test_paper_sizes():
    """ISO 216 A3 and A4; ASME Y14.1 sizes A (letter) and B (11 x 17 in)."""
    sizes = {name: (paper.width, paper.height) for name, paper in frame.PAPERS.items()}
    assert sizes["A3"] == (420, 297) and sizes["A4"] == (210, 297)
    assert sizes["11x17"] == pytest.approx((17 * 25.4, 11 * 25.4))
    assert sizes["letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))
    assert frame.PAPERS["letter"].turned().width == pytest.approx(279.4)


def test_scale_is_the_largest_that_fits():
    foot = 0.3048
    assert frame.choose_scale(51 * foot, 34 * foot, (348, 260)) == 48  # 323.9 x 215.9 mm
    assert frame.choose_scale(60 * foot, 34 * foot, (348, 260)) == 64  # 381 mm at 1:48, 285.8 at 1:64
    assert frame.choose_scale(90 * foot, 34 * foot, (348, 260)) == 96
    assert frame.choose_scale(120 * foot, 34 * foot, (348, 260)) is None
    assert (
        frame.choose_scale(18.0, 10.0, (338, 277), frame.SCALES_METRIC) == 75
    )  # 360 mm at 1:50, 240 at 1:75


def test_the_bar_is_as_long_as_its_caption_says():
    items = frame.bar_scale((10, 10), 48, 5, 0.6096, ((0, "0"), (5, "10 ft")))
    boxes = [point for item in items if isinstance(item, Polyline) for point in item.points]
    long = max(x for x, _ in boxes) - min(x for x, _ in boxes)
    assert long == pytest.approx(63.5) == frame.bar_length(48, 5, 0.6096)  # 10 ft at 1/4 in: 2 1/2 in


sections = st.lists(
    st.builds(
        lambda head, lines: frame.StripSection(
            head, tuple(text_and_tables.Paragraph(t, sign="–", indent=3) for t in lines), "and {n} more"
        ),
        st.text(min_size=1, max_size=40),
        st.lists(st.text(min_size=1, max_size=300), min_size=1, max_size=12),
    ),
    max_size=4,
)


@settings(max_examples=25, deadline=None)
@given(sections, st.text(max_size=200), st.sampled_from(sorted(frame.PAPERS)))
@example([], "0" * 400, "letter")
@example(
    [frame.StripSection("HEAD", (text_and_tables.Paragraph("W " * 200),) * 30, "and {n} more")],
    "W" * 400,
    "A4",
)
def test_the_strip_holds_any_words_and_hands_back_what_has_no_room(parts, words, name):
    paper = frame.PAPERS[name]
    block = replace(
        strip_words("R-1", "1 of 14"),
        sections=tuple(parts),
        status=words or "X",
        code_label=words,
        code=words,
        code_note=words,
        job=words,
        job_note=words,
        title=words,
        number=words,
        count=words,
        facts=((words, words), ("Checked", "")),
        revisions=((words, words, words),) * 3,
    )
    items, left_over = frame.strip(paper, block)
    edge = paper.strip.grown(0.3)  # the border's own line is 0.7 wide: half of it lies outside
    assert all(edge.holds(i.box()) for i in items if not isinstance(i, Text) or i.text.strip())
    given_ = [p for part in parts for p in part.paragraphs]
    assert all(paragraph in given_ for paragraph in left_over)
    shown = "".join("".join(i.text.split()) for i in items if isinstance(i, Text))
    for paragraph in given_:
        if paragraph not in left_over:
            assert "".join("".join(text_and_tables.fonts.wrap(paragraph.text, 2.5, 400)).split()) in shown


def test_an_overfull_strip_says_how_many_are_missing():
    many = tuple(text_and_tables.Paragraph(f"assumption number {i}") for i in range(60))
    block = replace(
        strip_words("R-1", "1 of 2"),
        sections=(frame.StripSection("WE ASSUMED", many, "and {n} more on R-2"),),
    )
    items, left_over = frame.strip(frame.PAPERS["11x17"], block)
    assert 0 < len(left_over) < 60
    assert f"and {len(left_over)} more on R-2" in [item.text for item in items if isinstance(item, Text)]


@pytest.mark.parametrize("more", ["", "and {n} more"])
def test_no_head_stands_bare(more):
    """A marks table's HOLD stood over nothing: its first sentence had no room, and no line said so."""
    told = (text_and_tables.Paragraph("held " * 25), text_and_tables.Paragraph("lost " * 40))
    heads = set()
    for before in range(60):
        filler = frame.StripSection("FULL", (text_and_tables.Paragraph("full"),) * before)
        block = replace(
            strip_words("R-1", "1 of 2"), sections=(filler, frame.StripSection("HOLD", told, more))
        )
        items, left_over = frame.strip(frame.PAPERS["11x17"], block)
        shown = [item.text for item in items if isinstance(item, Text)]
        held = any(text.startswith("held") for text in shown)
        assert held == (told[0] not in left_over)
        assert ("HOLD" in shown) == (held or "and 2 more" in shown), before
        heads.add("HOLD" in shown)
    assert heads == {True, False}


@given(st.lists(st.text(min_size=1, max_size=200), min_size=1, max_size=25))
def test_columns_keep_order_and_lose_nothing(texts):
    columns = [Box(0, 0, 50, 60), Box(55, 0, 105, 60)]
    paragraphs = [text_and_tables.Paragraph(text) for text in texts]
    drawn = text_and_tables.flow_text(paragraphs, columns)
    assert paragraphs[len(paragraphs) - len(drawn.left_over) :] == list(drawn.left_over)
    # a label's rectangle begins 0.02 of its height above its capitals: 0.05 mm
    assert all(any(c.grown(0.06).holds(i.box()) for c in columns) for i in drawn.items if i.text.strip())


def test_a_heading_is_not_left_alone_at_the_foot():
    drawn = text_and_tables.flow_text(
        [text_and_tables.Paragraph("x"), text_and_tables.heading("HEAD"), text_and_tables.Paragraph("y")],
        [Box(0, 0, 50, 13), Box(60, 0, 110, 13)],
    )
    where = {item.text: item.at[0] for item in drawn.items if isinstance(item, Text)}
    assert where["HEAD"] == 60 and where["y"] == 60


@given(st.lists(st.lists(st.text("abc ", max_size=120), min_size=1, max_size=5), min_size=1, max_size=8))
def test_a_heading_has_two_of_its_sentences_under_it_or_the_last_column(told):
    """ "SET OUT" and one step stood at the foot of a column, the other steps in the next."""
    paragraphs = [
        paragraph
        for n, each in enumerate(told)
        for paragraph in (
            text_and_tables.heading(f"HEAD{n}", keep=2),
            *(text_and_tables.Paragraph(f"{n}.{m} {text}") for m, text in enumerate(each)),
        )
    ]
    columns = [Box(60.0 * n, 0.0, 60.0 * n + 50.0, 60.0) for n in range(4)]
    drawn = text_and_tables.flow_text(paragraphs, columns).items
    column = {item.text.split(" ")[0]: item.at[0] for item in drawn if isinstance(item, Text)}
    for n, each in enumerate(told):
        head = column.get(f"HEAD{n}", columns[-1].left)
        if head < columns[-1].left:
            assert all(column.get(f"{n}.{m}") == head for m in range(min(2, len(each))))


def test_a_table_runs_on_over_sheets_row_by_row():
    columns = (
        text_and_tables.TableColumn(12, "Done"),
        text_and_tables.TableColumn(20, "Mark"),
        text_and_tables.TableColumn(30, "After plaster", heavy=True),
    )
    rows = [
        text_and_tables.Row((text_and_tables.Cell(sign=symbols.tick_box), f"A{i}", "3'-0\""))
        for i in range(40)
    ]
    rows.insert(12, text_and_tables.Row(span="RUN B", words="from datum B"))
    shown, start, rounds = [], 0, 0
    while start < len(rows):
        drawn = text_and_tables.table(columns, rows[start:], (0, 100), 0)
        assert drawn.rows > 0 and drawn.bottom >= -1e-6
        names = [i.text for i in drawn.items if isinstance(i, Text) and i.text.startswith(("A", "RUN"))]
        shown += [name for name in names if name != "After plaster"]
        start, rounds = start + drawn.rows, rounds + 1
    assert shown == [*(f"A{i}" for i in range(12)), "RUN B", *(f"A{i}" for i in range(12, 40))]
    assert rounds == 4  # 13 rows a sheet, but RUN B would be last on the first: 12, 13, 13, 3


def test_a_span_is_never_last_on_a_sheet():
    rows = [text_and_tables.Row((str(i),)) for i in range(12)] + [
        text_and_tables.Row(span="RUN B"),
        text_and_tables.Row(("12",)),
    ]
    assert text_and_tables.table((text_and_tables.TableColumn(20, "Mark"),), rows, (0, 100), 0).rows == 12


def test_cells_shorten_what_does_not_fit():
    drawn = text_and_tables.table(
        (text_and_tables.TableColumn(20, "Mark"),),
        [text_and_tables.Row(("a very long name indeed",))],
        (0, 50),
        0,
    )
    (cell,) = [i for i in drawn.items if isinstance(i, Text) and i.text.startswith("a")]
    assert cell.text.endswith("…") and cell.box().right <= 20


@pytest.mark.parametrize(
    ("direction", "outward"), [(0, -90), (0, 90), (90, 0), (90, 180), (180, -90), (270, 0)]
)
def test_ladders_read_from_below_or_from_the_right_whichever_way_they_run(direction, outward):
    from math import cos, radians, sin

    d = cos(radians(direction)), sin(radians(direction))
    n = cos(radians(outward)), sin(radians(outward))
    at = [(200 + d[0] * s, 150 + d[1] * s) for s in (20, 29, 38, 47, 56)]
    rungs = [Rung(point, f"{i + 3}'-0\"", f"{36 + 12 * i} in") for i, point in enumerate(at)]
    drawn = draw_running_dimensions(
        rungs, (200, 150), (200 + 9 * n[0], 150 + 9 * n[1]), direction, outward, (0, 100)
    )
    assert drawn.placed.how == "moved"
    texts = [text for item in drawn.items if isinstance(item, Dimension) for text in item.writing]
    assert len(texts) == 10
    for text in texts:
        assert text.turn in (0, 90)
        # all writing lies outward of the dimension line, 6.5 past it
        away = [(x - 200) * n[0] + (y - 150) * n[1] for x, y in text.corners()]
        assert min(away) == pytest.approx(9 + 6.5, abs=1e-6)
    boxes = [text.box() for text in texts]
    assert not any(a.meets(b, 0.0) for a, b in pairwise(boxes))
    assert [item.measured for item in drawn.items if isinstance(item, Dimension)] == pytest.approx(
        [20, 29, 38, 47, 56]
    )


def test_signs_have_their_sizes():
    """The look's list: mark circle 3, locked square 4.5, hexagon 6 across flats, datum 6 x 8, box 5.2."""

    def size(items, kind=object):
        boxes = [i.box() for i in items if isinstance(i, kind) and not isinstance(i, Text)]
        pens = max(i.pen.width for i in items if isinstance(i, kind))
        left, bottom = min(b.left for b in boxes), min(b.bottom for b in boxes)
        return max(b.right for b in boxes) - left - pens, max(b.top for b in boxes) - bottom - pens

    assert size(symbols.mark((0, 0)), Circle) == pytest.approx((3.0, 3.0))
    assert size(symbols.mark((0, 0), locked=True), Polyline) == pytest.approx((4.5, 4.5))
    assert size(symbols.light((0, 0)), Polyline) == pytest.approx((4.0, 4.0))
    assert size(symbols.warning((0, 0), 1), Polyline) == pytest.approx((6.0 / 0.75**0.5, 6.0))
    assert size([symbols.alert((0, 0))[0]]) == pytest.approx((6.0 / 0.75**0.5, 6.0))  # equal sides
    assert size(symbols.letter_box((0, 0), "F"), Polyline) == pytest.approx((5.2, 5.2))
    assert size(symbols.datum((0, 0), 0), Polyline) == pytest.approx((6.0, 8.0))
    assert size(symbols.origin((0, 0))) == pytest.approx((3.0, 3.0))
    assert size(symbols.joist_bar((0, 0), 0.8)) == pytest.approx((0.8, 4.8))


def test_only_a_mark_is_a_small_circle():
    for sign in (
        symbols.light((0, 0)),
        symbols.post((0, 0), 2, 2),
        symbols.warning((0, 0), 12),
        symbols.letter_box((0, 0), "D"),
        symbols.datum((0, 0), 90),
        symbols.tick_box((0, 0), full=0.5),
        symbols.stop((0, 0), 3, "STOP"),
    ):
        assert not any(isinstance(item, Circle) for item in sign)
    assert [item.radius for item in symbols.fan((0, 0), 15.9) if isinstance(item, Circle)] == [15.9]


def test_a_range_shape_runs_through_its_four_values_and_refuses_disorder():
    (shape,) = symbols.range_shape(50, 10, 14, 20, 30)
    assert {x for x, _ in shape.points} == {10, 14, 20, 30}
    assert all(y == 50 for x, y in shape.points if x in (10, 30))
    with pytest.raises(ValueError, match="rise"):
        symbols.range_shape(50, 10, 9, 20, 30)


def test_words_that_lead_to_a_list_are_never_left_at_the_foot():
    """A sentence and a head lead to the first row: where the row finds no room all three go over."""
    led = (
        text_and_tables.Paragraph("Of the width", keep=1),
        text_and_tables.heading("What narrows it:"),
        text_and_tables.Paragraph("This"),
    )
    whole = text_and_tables.flow_text(led, [Box(0.0, 0.0, 80.0, 100.0)])
    assert whole.left_over == ()
    assert text_and_tables.flow_text(led, [Box(0.0, whole.bottom + 1.0, 80.0, 100.0)]).left_over == led
