"""Where everything on a step diagram stands: lines, dots and letters, in CSS pixels from the top left.

The flow runs down a column as wide as a phone. From left to right a column has: the bars of conditions that
hold, the thick line of the work with its balloons, the boxes, the brackets of groups. A wider page sets two
columns side by side. Line widths are two, 1:2, as ISO 128-2 has them (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from .flow import Box, Flow, Frame, Part, Row, Span
from .lettering import width, wrap

__all__ = ["COLUMN", "SIZE", "Letters", "Point", "Ring", "Sheet", "place"]

#: Width of a column: a phone of 360 px with 16 px of margin on both sides.
COLUMN: Final = 328
GUTTER: Final = 28
#: Letters and the distance of their base lines.
SIZE: Final = 14
SMALL: Final = 13
LEAD: Final = 18

LANE: Final = 8
BALLOON: Final = 12
DOT: Final = 3.5
DIAMOND: Final = 7
#: From the middle of the thick line to the boxes beside it.
REACH: Final = 20
INSET: Final = 18
BRACKET: Final = 9
PAD: Final = 8
BAND: Final = 12
GAP: Final = 12

Point = tuple[float, float]
#: x, y and radius.
Ring = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Letters:
    """One line of text, its base line beginning at x, y, or with its middle there.

    `room`: how wide it may be.
    """

    x: float
    y: float
    text: str
    size: float
    bold: bool
    room: float
    middle: bool = False


@dataclass(slots=True)
class Sheet:
    """All marks of a drawing. Lines are lists of points."""

    width: float = 0
    height: float = 0
    thin: list[list[Point]] = field(default_factory=list)
    thick: list[list[Point]] = field(default_factory=list)
    dashed: list[list[Point]] = field(default_factory=list)
    filled: list[list[Point]] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    dashed_rings: list[Ring] = field(default_factory=list)
    dots: list[Ring] = field(default_factory=list)
    letters: list[Letters] = field(default_factory=list)

    def write(
        self, x: float, y: float, text: str, room: float, size: float = SIZE, bold: bool = False
    ) -> None:
        self.letters.append(Letters(x, y, text, size, bold, room))

    def box(self, left: float, top: float, right: float, bottom: float) -> None:
        self.thin.append([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])


def place(flow: Flow, columns: int = 1) -> Sheet:
    """A flow on a sheet of one or two columns.

    The second column begins with the part that leaves the sheet least high.
    """
    once = Placing(flow, turn=0)
    heights = once.heights
    if columns == 1 or len(heights) < 2:
        return once.sheet
    turn = min(range(1, len(heights)), key=lambda at: max(sum(heights[:at]), sum(heights[at:])))
    return Placing(flow, turn).sheet


class Placing:
    """Places one flow, from the top down; the part `turn` begins a second column, unless it is 0."""

    def __init__(self, flow: Flow, turn: int) -> None:
        self.sheet = Sheet()
        self.lanes = lanes(flow.spans)
        self.opening = {span.first: lane for span, lane in self.lanes}
        self.closing = {span.last: lane for span, lane in self.lanes}
        self.deepest = 1 + max((lane for _, lane in self.lanes), default=-1)
        #: Column and height of each box so far.
        self.nodes: list[tuple[int, float]] = []
        self.marks: dict[str, None] = {}
        self.brackets = 0
        self.inset = 0
        self.column = 0
        self.left = 0.0
        self.y = 1.0
        #: Where the thick line has come to, and where it arrives in this column.
        self.come: Point | None = None
        self.head: Point = (0.0, 0.0)
        #: How high each part is.
        self.heights: list[float] = []
        self.all(flow, turn)

    def all(self, flow: Flow, turn: int) -> None:
        bottoms: list[float] = []
        left_at: Point | None = None
        for at, part in enumerate(flow.parts):
            if turn and at == turn:
                bottoms.append(self.y)
                self.column, self.left, self.y = 1, COLUMN + GUTTER, 1.0
                left_at, self.come = self.come, None
            above = self.y
            self.part(part, first=self.y == 1.0)
            self.heights.append(self.y - above)
        bottoms.append(self.y)
        bottom = max(bottoms)
        if self.come is not None:  # the end of the work
            x, y = self.come
            self.sheet.thick.append([(x, y), (x, self.y + 6)])
            self.sheet.thick.append([(x - 7, self.y + 6), (x + 7, self.y + 6)])
        if left_at is not None:
            self.turn_over(left_at, bottoms[0] + 8)
        self.bars(bottoms)
        self.sheet.width = self.left + COLUMN
        self.y = bottom + 14
        self.legend()
        self.sheet.height = self.y

    # ------------------------------------------------------------------------------------ where things are

    @property
    def line(self) -> float:
        """Where the thick line runs."""
        return self.left + self.deepest * LANE + BALLOON + 2 + self.inset * INSET

    @property
    def box_left(self) -> float:
        return self.line + REACH

    @property
    def box_right(self) -> float:
        return self.left + COLUMN - 1 - self.brackets * BRACKET

    def arrive(self, y: float, radius: float) -> None:
        """Lead the thick line to a mark of this radius, and on from below it."""
        x = self.line
        if self.come is not None:
            start_x, start_y = self.come
            end = y - radius
            if start_x == x:
                self.sheet.thick.append([(x, start_y), (x, end - 5)])
            else:
                self.sheet.thick.append([(start_x, start_y), (x, start_y), (x, end - 5)])
            self.arrow(x, end)
        else:
            self.head = (x, y - radius)
        self.come = (x, y + radius)

    def arrow(self, x: float, y: float) -> None:
        """A filled arrow head that points down to here."""
        self.sheet.filled.append([(x, y), (x - 3.5, y - 8), (x + 3.5, y - 8)])

    # ------------------------------------------------------------------------------------------------ rows

    def part(self, part: Part, first: bool) -> None:
        """A part beneath its heading and a thick rule."""
        if not first:
            self.y += 10
        self.sheet.thick.append([(self.box_left, self.y), (self.box_right, self.y)])
        self.y += LEAD + 2
        self.sheet.write(self.box_left, self.y - 3, part.heading, self.box_right - self.box_left, bold=True)
        self.y += 8
        for row in part.rows:
            self.row(row)

    def row(self, row: Row) -> None:
        if isinstance(row, Box):
            self.box(row)
        elif row.kind == "branch":
            self.branch(row)
        else:
            self.group(row)
        self.y += GAP

    def branch(self, frame: Frame) -> None:
        """Rows for some machines; the others go past on a dashed line."""
        self.marks["branch"] = None
        room = self.box_right - self.box_left - INSET
        lines = wrap(frame.label, room, SIZE)
        y = self.y + DIAMOND + 3
        x = self.line
        self.arrive(y, DIAMOND)
        self.sheet.thin.append(
            [(x, y - DIAMOND), (x + DIAMOND, y), (x, y + DIAMOND), (x - DIAMOND, y), (x, y - DIAMOND)]
        )
        for at, line in enumerate(lines):
            self.sheet.write(self.box_left + INSET, y + 5 + at * LEAD, line, room)
        self.y = y + 5 + len(lines) * LEAD - LEAD + 13
        self.inset += 1
        self.come = (x + DIAMOND, y)
        for row in frame.rows:
            self.row(row)
        join = self.y - GAP + 5
        assert self.come is not None
        self.sheet.thick.append([self.come, (self.line, join), (x, join)])
        self.inset -= 1
        self.sheet.dashed.append([(x, y + DIAMOND), (x, join)])
        self.come = (x, join)
        self.y = join + 4

    def group(self, frame: Frame) -> None:
        """Rows that belong together, with a bracket at their right."""
        top = self.y
        self.brackets += 1
        if frame.signals:
            self.signals(frame.signals, self.box_left, self.box_right)
        room = self.box_right - self.box_left
        bold = frame.kind == "group"
        for line in wrap(frame.label, room, SIZE, bold):
            self.y += LEAD
            self.sheet.write(self.box_left, self.y - 4, line, room, bold=bold)
        self.y += 6
        for row in frame.rows:
            self.row(row)
        self.brackets -= 1
        self.y -= GAP
        right = self.box_right
        self.sheet.thin.append(
            [(right - 5, top + 3), (right, top + 3), (right, self.y + 3), (right - 5, self.y + 3)]
        )
        self.y += 3

    def box(self, box: Box) -> None:
        """One box with its balloon or dot."""
        left, right, top = self.box_left, self.box_right, self.y
        band = BAND if box.kind in ("off", "on") else 0
        sides = 5 if box.kind == "call" else 0
        room = right - left - 2 * PAD - band - 2 * sides
        self.y += PAD - 1
        if box.signals:
            self.signals(box.signals, left + PAD + sides, right - PAD - band - sides)
        for line in wrap(box.text, room, SIZE):
            self.y += LEAD
            self.sheet.write(left + PAD + sides, self.y - 4, line, room)
        self.y += PAD - 1
        bottom = self.y
        y = top + PAD + LEAD / 2
        self.outline(box, left, top, right, bottom)
        number = box.number if box.number is not None else box.puts_back
        radius = BALLOON if number is not None else DOT
        self.arrive(y, radius)
        if number is None:
            self.sheet.dots.append((self.line, y, radius))
        else:
            if box.number is None:
                self.marks["puts back"] = None
            rings = self.sheet.dashed_rings if box.number is None else self.sheet.rings
            rings.append((self.line, y, radius))
            figures = str(number)
            size = SMALL if len(figures) < 3 else 10
            base = y + size * 0.36
            self.sheet.letters.append(
                Letters(self.line, base, figures, size, False, 2 * radius - 1, middle=True)
            )
        self.sheet.thin.append([(self.line + radius, y), (left, y)])
        at = len(self.nodes)
        self.nodes.append((self.column, y))
        for lane in (self.opening.get(at), self.closing.get(at)):
            if lane is not None:
                self.sheet.thin.append([(self.left + lane * LANE + 1, y), (self.line - radius, y)])

    def outline(self, box: Box, left: float, top: float, right: float, bottom: float) -> None:
        """The shape that tells what kind of box it is."""
        sheet = self.sheet
        if box.kind in ("open", "close"):
            self.marks["condition"] = None
            self.cut_corners(left, top, right, bottom, 9)
            return
        sheet.box(left, top, right, bottom)
        if box.kind == "call":
            self.marks["call"] = None
            sheet.thin.append([(left + 5, top), (left + 5, bottom)])
            sheet.thin.append([(right - 5, top), (right - 5, bottom)])
        elif box.kind in ("off", "on"):
            self.marks[box.kind] = None
            sheet.thin.append([(right - BAND, top), (right - BAND, bottom)])
            if box.kind == "off":
                self.hatch(right - BAND, top, right, bottom)

    def cut_corners(self, left: float, top: float, right: float, bottom: float, by: float) -> None:
        """A box without its corners, for a condition."""
        upper = [(left + by, top), (right - by, top), (right, top + by)]
        lower = [(right, bottom - by), (right - by, bottom), (left + by, bottom), (left, bottom - by)]
        self.sheet.thin.append([*upper, *lower, (left, top + by), (left + by, top)])

    def hatch(self, left: float, top: float, right: float, bottom: float) -> None:
        """Thin lines at 45 degrees."""
        wide = right - left
        at = top + 5.0
        while at < bottom + wide:
            start = (left, at) if at <= bottom else (left + at - bottom, bottom)
            end = (right, at - wide) if at - wide >= top else (left + at - top, top)
            self.sheet.thin.append([start, end])
            at += 5

    def signals(self, words: tuple[str, ...], left: float, right: float) -> None:
        """Signal words in a row, with the safety alert triangle before those that concern injury."""
        self.y += LEAD
        x = left
        for word in words:
            wide = width(word, SMALL, bold=True) + (18 if word != "NOTICE" else 0)
            if x > left and x + wide > right:
                x, self.y = left, self.y + LEAD
            base = self.y - 4
            if word != "NOTICE":
                self.sheet.thin.append([(x + 1, base), (x + 7, base - 11), (x + 13, base), (x + 1, base)])
                top, foot = base - 7.5, base - 3.6
                self.sheet.filled.append([(x + 6.2, top), (x + 7.8, top), (x + 7.3, foot), (x + 6.7, foot)])
                self.sheet.dots.append((x + 7, base - 2, 0.9))
                x += 18
            room = right - x
            self.sheet.write(x, base, word, room, SMALL, bold=True)
            x += width(word, SMALL, bold=True) + 12

    # ------------------------------------------------------------------------------ across the whole sheet

    def bars(self, bottoms: list[float]) -> None:
        """A bar beside the work for each condition, from where it begins to where it ends."""
        if self.lanes:
            self.marks["holds"] = None
        for span, lane in self.lanes:
            (column, y), (last_column, last_y) = self.nodes[span.first], self.nodes[span.last]
            while column < last_column:
                x = column * (COLUMN + GUTTER) + lane * LANE + 1
                bottom = bottoms[column]
                self.sheet.thin.append([(x, y), (x, bottom)])
                self.broken(x, bottom)
                column, y = column + 1, 8.0
                self.broken(x + COLUMN + GUTTER, y)
            x = column * (COLUMN + GUTTER) + lane * LANE + 1
            self.sheet.thin.append([(x, y), (x, last_y)])

    def broken(self, x: float, y: float) -> None:
        """A short stroke across the end of a bar that goes on in another column."""
        self.sheet.thin.append([(x - 1, y + 3), (x + 3, y - 3)])

    def turn_over(self, start: Point, below: float) -> None:
        """The thick line from the foot of one column to the head of the next."""
        x, y = start
        between = self.left - GUTTER / 2
        to, head = self.head
        self.sheet.thick.append([(x, y), (x, below), (between, below), (between, 1), (to, 1), (to, head - 5)])
        self.arrow(to, head)

    def legend(self) -> None:
        """What the marks mean, as far as they occur."""
        says = {
            "off": "taken off",
            "on": "put back",
            "puts back": "number of the step put back",
            "call": "another procedure",
            "branch": "other machines go past",
            "condition": "condition",
            "holds": "holds from here to here",
        }
        marks = [mark for mark in says if mark in self.marks]
        if not marks:
            return
        sheet, x = self.sheet, 1.0
        sheet.thin.append([(0, self.y), (sheet.width, self.y)])
        self.y += LEAD + 6
        for mark in marks:
            wide = 32 + width(says[mark], SMALL)
            if x > 1 and x + wide > sheet.width:
                x, self.y = 1.0, self.y + LEAD + 4
            self.sample(mark, x, self.y - 5)
            sheet.write(x + 32, self.y, says[mark], sheet.width - x - 32, SMALL)
            x += wide + 16
        self.y += 8

    def sample(self, mark: str, x: float, y: float) -> None:
        """One mark of the legend, 24 px wide, about the height y."""
        sheet = self.sheet
        if mark in ("off", "on", "call"):
            sheet.box(x, y - 7, x + 24, y + 7)
            for at in (x + 5, x + 19) if mark == "call" else (x + 12,):
                sheet.thin.append([(at, y - 7), (at, y + 7)])
            if mark == "off":
                self.hatch(x + 12, y - 7, x + 24, y + 7)
        elif mark == "puts back":
            sheet.dashed_rings.append((x + 12, y, 8))
        elif mark == "condition":
            self.cut_corners(x, y - 7, x + 24, y + 7, 4)
        elif mark == "branch":
            sheet.dashed.append([(x, y), (x + 24, y)])
        else:
            sheet.thin.append([(x, y - 6), (x, y + 6)])
            sheet.thin.append([(x, y), (x + 24, y)])
            sheet.thin.append([(x + 24, y - 6), (x + 24, y + 6)])


def lanes(spans: tuple[Span, ...]) -> list[tuple[Span, int]]:
    """A lane for each span, from the left, so that none overlap in one lane."""
    free: list[int] = []
    found = []
    for span in spans:
        lane = next((at for at, until in enumerate(free) if until < span.first), len(free))
        free[lane : lane + 1] = [span.last]
        found.append((span, lane))
    return found
