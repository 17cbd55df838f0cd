"""Draws a sheet with matplotlib, as an SVG that takes its ink and its font from the page it stands in.

Only this module imports matplotlib, and only when something is drawn.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any, Final
from xml.sax.saxutils import escape

from .sheet import SIZE, Letters, Point, Ring, Sheet

__all__ = ["svg"]

#: Narrow and wide lines of ISO 128-2, 0.25 mm and 0.5 mm (from memory), at 96 px to 25.4 mm.
NARROW: Final = 0.945
WIDE: Final = 1.89
#: Dashes and gaps of a dashed line, in px.
DASHES: Final = (5.0, 3.0)

#: For a drawing that is opened by itself or as an image; within a page the page's own ink and font hold.
STYLE: Final = (
    'svg:root{color:#1b1d1f;font-family:system-ui,"Segoe UI",Roboto,"Noto Sans","DejaVu Sans",sans-serif}'
    "@media (prefers-color-scheme:dark){svg:root{color:#eceae4}}"
)


def svg(sheet: Sheet, name: str, title: str, description: str) -> bytes:
    """The drawing as one `svg` element in UTF-8.

    `name` begins the ids in it, so that several drawings may stand in one page.
    """
    wide, high = number(sheet.width), number(sheet.height)
    root = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}" viewBox="0 0 {wide} {high}" '
        f'role="img" aria-labelledby="{name}-title" aria-describedby="{name}-says" '
        f'fill="currentColor" stroke-linejoin="round" font-size="{SIZE}">\n'
        f'<title id="{name}-title">{escape(title)}</title>\n'
        f'<desc id="{name}-says">{escape(description)}</desc>\n'
        f"<style>{STYLE}</style>\n"
    )
    return f"{root}{body(sheet)}</svg>\n".encode()


def body(sheet: Sheet) -> str:
    """What matplotlib draws, with its black ink made the ink of the page."""
    import matplotlib
    from matplotlib.backends import backend_svg

    out = io.StringIO()
    with matplotlib.rc_context({"svg.fonttype": "none", "path.simplify": False}):
        metadata = {"Format": None, "Type": None, "Creator": None, "Date": None}
        pen: Any = backend_svg.RendererSVG  # it has no types
        renderer = pen(sheet.width, sheet.height, out, metadata=metadata)
        draw(sheet, renderer)
        renderer.finalize()
    _, _, marks = out.getvalue().partition("</defs>\n")
    marks = marks.rpartition("</svg>")[0].replace("#000000", "currentColor")
    starts = text_starts(sheet.letters)
    return re.sub("<text [^>]*>", lambda _: next(starts), marks)


def text_starts(letters: Sequence[Letters]) -> Iterator[str]:
    """The opening tag of each text: matplotlib names a font in it, and the font is for the page to choose."""
    for each in letters:
        size = "" if each.size == SIZE else f' font-size="{number(each.size)}"'
        weight = ' font-weight="700"' if each.bold else ""
        middle = ' text-anchor="middle"' if each.middle else ""
        yield f'<text x="{number(each.x)}" y="{number(each.y)}"{size}{weight}{middle}>'


def draw(sheet: Sheet, renderer: Any) -> None:
    """All lines of one kind in one path, then the letters."""
    from matplotlib.font_manager import FontProperties

    black = (0.0, 0.0, 0.0)
    flip = _flip(sheet.height)
    plain = renderer.new_gc()

    def stroke(lines: Sequence[list[Point]], rings: Sequence[Ring], pen: float, dashed: bool) -> None:
        if lines or rings:
            gc = renderer.new_gc()
            gc.set_linewidth(pen)
            if dashed:
                gc.set_dashes(0, DASHES)
            renderer.draw_path(gc, _path(lines, rings), flip, None)

    stroke(sheet.thin, sheet.rings, NARROW, False)
    stroke(sheet.dashed, sheet.dashed_rings, NARROW, True)
    stroke(sheet.thick, (), WIDE, False)
    if sheet.filled or sheet.dots:
        plain.set_linewidth(0)
        renderer.draw_path(plain, _path(sheet.filled, sheet.dots), flip, black)
    font = FontProperties()
    for each in sheet.letters:
        renderer.draw_text(plain, each.x, each.y, each.text, font, 0)


def _flip(height: float) -> Any:
    """Sheets count down from the top, matplotlib up from the bottom."""
    from matplotlib.transforms import Affine2D

    return Affine2D().scale(1, -1).translate(0, height)


@cache
def _circle() -> tuple[Any, Any]:
    from matplotlib.path import Path

    circle = Path.arc(0, 360, 4)
    return circle.vertices, circle.codes


def _path(lines: Sequence[list[Point]], rings: Sequence[Ring]) -> Any:
    """One path of many lines and circles."""
    import numpy as np
    from matplotlib.path import Path

    vertices = [np.array([point for line in lines for point in line], dtype=float).reshape(-1, 2)]
    starts = [Path.MOVETO if at == 0 else Path.LINETO for line in lines for at in range(len(line))]
    codes = [np.array(starts, dtype=np.uint8)]
    round_vertices, round_codes = _circle()
    for x, y, radius in rings:
        vertices.append(round_vertices * radius + (x, y))
        codes.append(round_codes)
    return Path(np.concatenate(vertices).round(2), np.concatenate(codes))


def number(value: float) -> str:
    """A number of px with as few figures as two decimals need."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
