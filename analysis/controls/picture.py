"""A matplotlib figure as a widget: redrawn in memory, named for screen readers, and a picture on paper."""

from __future__ import annotations

import base64
import html
import io
from typing import Any

import ipywidgets as ipw
from matplotlib.figure import Figure
from PIL import Image

from analysis.figures.style import DPI

LEAST_WIDTH = 560  # px: on a narrower page the picture scrolls rather than shrinks beyond reading


class Picture(ipw.HTML):
    """Shows one figure at a time; `png` and `words` are empty while there is none."""

    def __init__(self) -> None:
        super().__init__(layout=ipw.Layout(width="100%", margin="0", overflow="auto"))
        self.png, self.words = b"", ""

    def show(self, figure: Figure, words: str) -> None:
        """Put the figure on the page; `words` say what it shows to those who do not see it."""
        self.png, self.words = to_png(figure), words
        width = round(figure.get_figwidth() * DPI)
        self.value = (
            f'<img alt="{html.escape(words)}" width="{width}" '
            f'style="max-width:max(100%,{LEAST_WIDTH}px);height:auto;background:white" '
            f'src="data:image/png;base64,{base64.b64encode(self.png).decode()}">'
        )

    def clear(self) -> None:
        """Take the picture off the page."""
        self.png, self.words, self.value = b"", "", ""


class Still:
    """A figure that stays as it is: the picture for eyes, the words for ears, for paper and for comparing."""

    def __init__(self, figure: Figure, words: str) -> None:
        self.png, self.words = to_small_png(figure), words

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"image/png": base64.b64encode(self.png).decode(), "text/plain": self.words}


def to_png(figure: Figure) -> bytes:
    """The figure as PNG, soon rather than small; the same bytes for the same figure."""
    buffer = io.BytesIO()
    figure.savefig(buffer, format="png", dpi=DPI, pil_kwargs={"compress_level": 1})
    return buffer.getvalue()


def to_small_png(figure: Figure) -> bytes:
    """The figure as PNG of 256 colours, a third of the size: for pictures that are kept."""
    picture = Image.open(io.BytesIO(to_png(figure))).convert("RGB")
    buffer = io.BytesIO()
    picture.quantize(256, dither=Image.Dither.NONE).save(buffer, format="png", optimize=True)
    return buffer.getvalue()
