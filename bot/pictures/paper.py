"""The paper that pictures are drawn on: its width, its colours, its letters."""

from __future__ import annotations

import functools
import io
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg, RendererAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, get_font
from matplotlib.text import Text
from PIL import Image

WIDE = 1080
"""Pixels."""
TALLEST = 1280
"""Pixels: a messenger that shows 1280 on the longer side shrinks nothing (core.telegram.org/api/files)."""
DPI = 100
TEXT, TITLE = 32, 46
"""Heights of the letters, in pixels: none is smaller than TEXT."""
EDGE = 36
"""Pixels left free around everything."""

# Dark on white, each at least 7:1 (WCAG 2.2, criterion 1.4.6). Blue and rust stay apart for colour-blind
# eyes, and whatever has a colour has a shape or a hatching of its own too.
PAPER, INK, GRID = "#ffffff", "#111111", "#555555"
BLUE, RUST = "#003f7d", "#8a3000"
PALE_BLUE, PALE_RUST = "#e6eef8", "#fbeee4"
PAIRS = (
    *((each, PAPER) for each in (INK, GRID, BLUE, RUST)),
    *((each, pale) for each in (INK, BLUE) for pale in (PALE_BLUE,)),
    *((each, pale) for each in (INK, RUST) for pale in (PALE_RUST,)),
    (PAPER, BLUE),
    (PAPER, RUST),
)
"""Every colour that is drawn upon another."""

COLOURS = 96
"""So many, edges included, stand in the file."""

FONT = Path(matplotlib.get_data_path(), "fonts/ttf/DejaVuSans.ttf")
_RIGHT_TO_LEFT = range(0x0590, 0x0900)


def points(pixels: float) -> float:
    """Pixels as matplotlib counts letters and lines."""
    return pixels * 72 / DPI


def letters(pixels: float = TEXT) -> FontProperties:
    return FontProperties(fname=FONT, size=points(pixels))


class Paper:
    """A sheet of `tall` pixels; places and sizes on it are pixels from its upper left corner."""

    def __init__(self, tall: float) -> None:
        self.tall = tall
        self.figure = Figure(figsize=(WIDE / DPI, tall / DPI), dpi=DPI, facecolor=PAPER)
        self.canvas: Any = FigureCanvasAgg(self.figure)
        self.figure.patch.set_antialiased(False)

    def axes(self, left: float, top: float, wide: float, tall: float) -> Any:
        """A field to draw in, without its own letters."""
        box = (left / WIDE, 1 - (top + tall) / self.tall, wide / WIDE, tall / self.tall)
        field: Any = self.figure.add_axes(box, facecolor=PAPER)
        for side in ("top", "right"):
            field.spines[side].set_visible(False)
        for side in ("left", "bottom"):
            field.spines[side].set(color=INK, linewidth=points(2))
        field.tick_params(colors=INK, width=points(2), length=points(8))
        return field

    def write(self, left: float, top: float, words: str, *, tall: float = TEXT, **more: Any) -> Text:
        """Words whose middle line lies half a line below `top`, cut where the sheet ends."""
        right = more.get("ha") == "right"
        room = left - 8 if right else WIDE - EDGE / 2 - left
        text = cut(words, room, tall)
        place = (left / WIDE, 1 - (top + tall / 2) / self.tall)
        under = {"facecolor": PAPER, "edgecolor": "none", "pad": 0}
        told = {"ha": "left", "va": "center", "color": INK, "bbox": under, **more}
        return self.figure.text(*place, text, fontproperties=letters(tall), parse_math=False, **told)

    def sign(self, left: float, top: float, marker: str, colour: str, face: str, *, size: float = 24) -> None:
        """What stands for something, beside words that are written at that height."""
        field = self.axes(left, top, 60, TEXT)
        field.set_axis_off()
        field.set(xlim=(0, 1), ylim=(0, 1))
        field.plot([0.5], [0.5], **marked(marker, colour, face, size), linestyle="none", clip_on=False)

    def png(self) -> bytes:
        """As few bytes as so few colours take."""
        self.canvas.draw()
        size = self.canvas.get_width_height()
        image = Image.frombuffer("RGBA", size, self.canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
        written = io.BytesIO()
        image.convert("RGB").quantize(COLOURS, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(
            written, "PNG"
        )
        return written.getvalue()


def marked(marker: str, colour: str, face: str, size: float) -> dict[str, Any]:
    """A marker of so many pixels, as matplotlib is told of it."""
    return {
        "marker": marker,
        "markersize": points(size),
        "color": colour,
        "markerfacecolor": face,
        "markeredgecolor": colour,
        "markeredgewidth": points(4),
    }


def wide(words: str, tall: float = TEXT) -> float:
    """How many pixels these words are wide."""
    return float(_ruler().get_text_width_height_descent(words, letters(tall), False)[0])


@functools.cache
def _ruler() -> Any:
    renderer: Any = RendererAgg
    return renderer(1, 1, DPI)


def cut(words: str, room: float, tall: float = TEXT) -> str:
    """As much of the words as there is room for."""
    if wide(words, tall) <= room:
        return words
    while words and wide(words + "…", tall) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def lettered(ticks: Iterable[Any]) -> None:
    """Words along an axis, in our own letters."""
    for tick in ticks:
        tick.set(fontproperties=letters(), color=INK, parse_math=False)


def label(field: Any, at: float, value: float, words: str, **more: Any) -> Any:
    """Words in a field, at a place of its own scale, moved by `xytext` pixels."""
    x, y = more.pop("xytext", (0, 0))
    return field.annotate(
        words,
        (at, value),
        xytext=(points(x), points(y)),
        textcoords="offset points",
        fontproperties=letters(),
        parse_math=False,
        annotation_clip=False,
        bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1},
        **{"color": INK, "ha": "center", "va": "center", "zorder": 5, **more},
    )


Place = tuple[float, float]


def spread(places: Sequence[Place], apart: Place, first: Sequence[int]) -> set[int]:
    """Which of these places can carry words, so far `apart` across or up from each other; those named `first`
    before others."""
    kept: list[int] = []
    for one in (*first, *range(len(places))):
        x, y = places[one]
        others = [places[other] for other in kept]
        if all(abs(x - left) >= apart[0] or abs(y - low) >= apart[1] for left, low in others):
            kept.append(one)
    return set(kept)


def pixels(field: Any, at: Sequence[float], values: Sequence[float]) -> list[Place]:
    """Where places of a field's own scale lie on the sheet."""
    return [(float(x), float(y)) for x, y in field.transData.transform(list(zip(at, values, strict=True)))]


# Letters that the font has --------------------------------------------------------------------------------


def can_write(words: str) -> bool:
    """Whether the font has each letter, and needs no shaping that it might lack."""
    known = get_font([str(FONT)]).get_charmap()
    return all(ord(letter) in known and ord(letter) not in _RIGHT_TO_LEFT for letter in words)


def written(words: Any, plain: Any) -> Any:
    """The words, in place of each that cannot be written the plain one."""
    if isinstance(words, str):
        return words if can_write(words) else plain if can_write(plain) else ""
    if isinstance(words, Mapping):
        return {name: written(each, plain[name]) for name, each in words.items()}
    if isinstance(words, list):
        return [written(one, other) for one, other in zip(words, plain, strict=True)]
    return words
