"""The frame at the foot of a trade's page: what may not go on unsigned, and lines to sign on."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mistcalc.drawing import fonts, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import HEAVY, THIN, Item, LineSegment, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.report.trades.slip import Slip

SIGN = 6.5  # from one line to sign on to the next [mm]
SIGNED_FOR, MOST_SIGNED_FOR = 76.0, 91.0  # room for what is signed for, all lines alike [mm]
Closing = Callable[[float], list[Item]]  # draws what ends a page, from a height down


def hold_frame(slip: Slip, room: Box) -> tuple[Closing, float]:
    """The frame at the foot, drawn up from a height, and how tall it is."""
    inner = Box(room.left + 3.5, -1e6, room.right - 3.5, 0.0)
    words = [Paragraph(slip.hold, 3.5, bold=True, before=0.0), Paragraph(slip.hold_words)]
    words = [paragraph for paragraph in words if paragraph.text]
    deep = -text_and_tables.flow_text(words, [inner]).bottom
    tall = 3.0 + deep + 2.6 + SIGN * len(slip.signing)
    longest = max((fonts.width(what, 2.5, True) + 3.0 for what, _ in slip.signing if what), default=0.0)
    named = min(max(longest, SIGNED_FOR), MOST_SIGNED_FOR) if longest else 0.0

    def draw(bottom: float) -> list[Item]:
        top = bottom + tall
        items = [*text_and_tables.flow_text(words, [inner._replace(top=top - 3.0)]).items]
        for n, (what, blanks) in enumerate(reversed(slip.signing)):
            items += _to_sign(what, blanks, inner._replace(bottom=bottom + 3.0 + SIGN * n), named)
        corners = Box(room.left, bottom, room.right, top).corners
        return [*items, Polyline(corners, True, layer="NOTE", pen=HEAVY)]

    return draw, tall


def _to_sign(what: str, blanks: Sequence[str], room: Box, named: float) -> list[Item]:
    """What is signed for, then blanks with their names, in one line at the foot of a room. named: room for
    what is signed for."""
    left, y = room.left + named, room.bottom
    items: list[Item] = []
    if what:
        fitted = fonts.fit(what, 2.5, named - 3.0, True)
        items.append(Text((room.left, y), fitted, 2.5, True, layer="NOTE"))
    longest = (room.right - left) / len(blanks) - 8.0
    names = [fonts.fit(name, 2.5, max(longest, 14.0)) for name in blanks]
    line = (room.right - left - sum(fonts.width(name, 2.5) for name in names)) / len(names)
    x = left
    for name in names:
        text = Text((x, y), name, layer="NOTE")
        end = x + text.width + line
        items += [
            text,
            LineSegment((x + text.width + 1.2, y - 0.7), (end - 2.5, y - 0.7), layer="NOTE", pen=THIN),
        ]
        x = end
    return items
