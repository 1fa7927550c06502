"""The chart of the close-in calendar: a column a working day, a row a piece of work, a black bar a hold."""

from __future__ import annotations

import datetime

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import (
    BLACK,
    BOLD,
    FINE,
    HEAVY,
    MEDIUM,
    THIN,
    WHITE,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
)
from mistcalc.model.close_in import FINISH
from mistcalc.model.results import Calendar, CalendarStep, Design
from mistcalc.report.common.calendar_text import day_text, hold_points, plastered, what_is_done
from mistcalc.report.common.locale_text import Locale

NAMES, NAMES_IN_LINE, MOST_IN_LINE = 50.0, 66.0, 92.0  # room for trades [mm]
NARROW = 3.0  # a column too narrow for its own rule [mm]
TWO_LINES = 7.4  # a row as high takes trade and work below each other [mm]
BAR, SQUARE, APART = 2.2, 6.8, 7.4  # a hold's bar and square, and how near two squares may be [mm]
_SOLID = Pen(0.0)


def block(box: Box, text: str, height: float) -> list[Item]:
    """A black box with white writing."""
    at = ((box.left + box.right) / 2, (box.bottom + box.top - height) / 2)
    return [
        Polyline(box.corners, True, BLACK, layer="NOTE", pen=_SOLID),
        Text(at, text, height, True, align="middle", layer="NOTE", pen=THIN._replace(ink=WHITE)),
    ]


class Chart:
    """Drawn from the top of a room down, in rows of a height."""

    def __init__(self, design: Design, calendar: Calendar, room: Box, row: float, locale: Locale) -> None:
        self.design, self.calendar, self.room, self.row, self.locale = design, calendar, room, row, locale
        self.column = {day.date: n for n, day in enumerate(calendar.days)}
        shown = [step for step in calendar.steps if step.first in self.column]
        self.rows = [step for step in shown if not step.hold]
        self.holds = [step for step in shown if step.hold]
        self.names = NAMES if row >= TWO_LINES else self._in_line()
        self.left = room.left + self.names
        self.wide = (room.right - self.left) / len(calendar.days)
        self.top = room.top - 11.5  # of the rows
        self.bottom = self.top - row * len(self.rows)

    def _in_line(self) -> float:
        """Room for trade and work in one line, as much as the longest takes, within reason."""
        longest = max((self._trade(step).width + self._work_width(step) for step in self.rows), default=0.0)
        return min(max(NAMES_IN_LINE, longest + 4.6), MOST_IN_LINE)

    def _trade(self, step: CalendarStep) -> Text:
        words = self.locale.label("paper_calendar.trade", trade=step.trade)
        return Text((self.room.left, 0.0), words, 2.5, True, layer="NOTE")

    def _work_width(self, step: CalendarStep) -> float:
        what = what_is_done(self.design, self.calendar, step, self.locale)
        many = self.locale.label("paper_calendar.do_many", what=what, count=step.days)
        return fonts.width(many if step.days > 1 else what, 2.5)

    def draw(self) -> tuple[list[Item], float]:
        """The chart, and how low it reaches."""
        items = [*self._weeks(), *self._rows(), *self._bars()]
        squares, y = self._holds()
        watch, y = self._watch(y)
        return [*items, *squares, *watch], y

    def _x(self, day: datetime.date, share: float = 0.0) -> float:
        """Left edge of a day's column, or so much of its width past it."""
        return self.left + (self.column[day] + share) * self.wide

    def _middle(self, hold: CalendarStep) -> float:
        return self._x(self._last(hold), 0.5)

    def _last(self, step: CalendarStep) -> datetime.date:
        """The last day of a step that the chart shows."""
        return step.last if step.last in self.column else self.calendar.days[-1].date

    def _weeks(self) -> list[Item]:
        """Heads: the first working day of each week and how far it is from the scratch coat; rules."""
        label, room, days = self.locale.label, self.room, self.calendar.days
        closed = "" if plastered(self.design) else "_closed"
        dates, counts = room.top - 3.6, self.top + 2.0
        items: list[Item] = [
            Text((room.left, counts), label(f"paper_calendar.to_scratch{closed}"), layer="NOTE"),
            LineSegment((room.left, self.top), (room.right, self.top), layer="NOTE", pen=BOLD),
        ]
        if self.calendar.dated:
            items.append(Text((room.left, dates), label("paper_calendar.week"), layer="NOTE"))
        zero = self._x(self.calendar.scratch_coat)
        mark = Text((zero + 0.5 * self.wide, counts), "0", 2.5, True, align="middle", layer="NOTE")
        framed = mark.box().grown(0.8)
        items += [mark, Polyline(framed.corners, True, layer="NOTE", pen=BOLD)]
        free = self.left - 1.0
        for n, (day, count) in enumerate(days):
            first = n == 0 or day.isocalendar()[:2] != days[n - 1].date.isocalendar()[:2]
            x = self._x(day)
            if first:
                items.append(LineSegment((x, room.top), (x, self.bottom), layer="NOTE", pen=MEDIUM))
            elif self.wide >= NARROW:
                items.append(LineSegment((x, self.top), (x, self.bottom), layer="NOTE", pen=FINE))
            week = Text((x + 0.9, dates), day_text(day, self.locale, False), 2.5, True, layer="NOTE")
            if not first or x < free or week.box().right > room.right:
                continue
            free = week.box().right + 2.0
            items += [week] if self.calendar.dated else []
            number = Text((x + 0.9, counts), f"{count:+d}", layer="NOTE")
            items += [number] if count and not number.box().meets(framed, 0.6) else []
        items.append(LineSegment((room.right, room.top), (room.right, self.bottom), layer="NOTE", pen=MEDIUM))
        return items

    def _rows(self) -> list[Item]:
        """Whose work, and what it is."""
        items: list[Item] = []
        for n, step in enumerate(self.rows):
            y = self.top - n * self.row
            trade, room = self.locale.label("paper_calendar.trade", trade=step.trade), self.names - 1.5
            what = what_is_done(self.design, self.calendar, step, self.locale)
            if not self._holds_number(step):
                what = self.locale.label("paper_calendar.do_many", what=what, count=step.days)
            who = Text((self.room.left, y - 0.5 * self.row - 1.25), trade, 2.5, True, layer="NOTE")
            at = (self.room.left + who.width + 1.6, who.at[1])
            if self.row >= TWO_LINES:
                who = Text((self.room.left, y - 0.5 * self.row + 0.6), trade, 2.5, True, layer="NOTE")
                at = (self.room.left, who.at[1] - 3.4)
            items += [who, Text(at, fonts.fit(what, 2.5, self.room.left + room - at[0]), layer="NOTE")]
            low = y - self.row
            items.append(LineSegment((self.room.left, low), (self.room.right, low), layer="NOTE", pen=THIN))
        return items

    def _bars(self) -> list[Item]:
        """A bar from first to last day, its working days in it, clear of the holds that cross it."""
        items: list[Item] = []
        for n, step in enumerate(self.rows):
            middle = self.top - (n + 0.5) * self.row
            half = min(max(0.5 * self.row - 1.1, 2.4), 3.2)
            right = self._x(self._last(step), 1.0) - 0.4
            box = Box(self._x(step.first) + 0.4, middle - half, right, middle + half)
            items.append(Polyline(box.corners, True, WHITE, layer="NOTE", pen=HEAVY))
            if self._holds_number(step):
                at = (self._number_at(box, str(step.days)), middle - 1.25)
                items.append(Text(at, str(step.days), 2.5, True, align="middle", layer="NOTE"))
        return items

    def _holds_number(self, step: CalendarStep) -> bool:
        days = self.column[self._last(step)] - self.column[step.first] + 1
        return days * self.wide - 0.8 > fonts.width(str(step.days), 2.5, True) + 1.0

    def _number_at(self, box: Box, number: str) -> float:
        """In the middle, or in the first column clear of every hold."""
        middle, half = (box.left + box.right) / 2, fonts.width(number, 2.5, True) / 2
        columns = round(box.width / self.wide)
        places = [middle, *(box.left + (n + 0.5) * self.wide for n in range(columns))]
        inside = [x for x in places if box.left + half + 0.8 < x < box.right - half - 0.8]
        crossed = [self._middle(hold) for hold in self.holds]
        clear = (x for x in inside if all(abs(x - hold) > BAR / 2 + half + 0.4 for hold in crossed))
        return next(clear, middle)

    def _holds(self) -> tuple[list[Item], float]:
        """A bar through all rows, its number below it; one too near the last stands lower."""
        words = Text((self.room.left, self.bottom - 5.4), self.locale.label("paper_calendar.nothing_passes"),
                     2.5, True, layer="NOTE")  # fmt: skip
        items: list[Item] = [words]
        numbers, low = hold_points(self.design), self.bottom - SQUARE
        ends: list[tuple[float, float]] = []  # middle of each square, and its top
        for hold in self.holds:
            x, top = self._middle(hold), self.bottom
            while any(abs(x - other) < APART and abs(top - level) < APART for other, level in ends):
                top -= APART
            if not ends and x - SQUARE / 2 < words.box().right + 1.0:
                top -= 6.0  # below the words
            ends.append((x, top))
            half = min(BAR, 0.5 * self.wide) / 2
            bar = Box(x - half, top, x + half, self.top)
            items.append(Polyline(bar.corners, True, BLACK, layer="NOTE", pen=_SOLID))
            square = Box(x - SQUARE / 2, top - SQUARE, x + SQUARE / 2, top)
            items += block(square, str(numbers.index(hold.hold) + 1), 3.5)
            low = min(low, square.bottom)
        return items, low - 1.5

    def _watch(self, y: float) -> tuple[list[Item], float]:
        """From the second test to the finish coat, where the line is watched."""
        start, finish = self.calendar.hold("lath"), self.calendar.step(FINISH)
        plan = self.design.hold
        if plan is None or plan.watch is None or start is None or finish is None or start.last > finish.last:
            return [], y - 1.0
        ends = (start.last, finish.last)
        if not all(day in self.column for day in ends):
            return [], y - 1.0
        if self.calendar.dated:
            first, last = (day_text(day, self.locale, False) for day in ends)
        else:
            first, last = (f"{self.calendar.days[self.column[day]].to_scratch:+d}" for day in ends)
        words = self.locale.label("paper_calendar.watched", first=first, last=last)
        text = Text((self.room.left, y - 3.6), words, 2.5, True, layer="NOTE")
        a, b, middle = self._x(ends[0], 0.5), self._x(ends[1], 1.0), y - 2.4
        if text.box().right + 1.5 > a:
            middle -= 4.6
        lines = [((a, middle), (b, middle)), ((a, middle - 1.5), (a, middle + 1.5)),
                 ((b, middle - 1.5), (b, middle + 1.5))]  # fmt: skip
        return [text, *(LineSegment(*ends, layer="NOTE", pen=HEAVY) for ends in lines)], middle - 4.0
