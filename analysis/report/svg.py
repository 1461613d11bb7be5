"""SVG files made by the figures, as elements of a page."""

from __future__ import annotations

import html
import re

from analysis.figures.style import DPI, PAGE_PX


def inline(svg: str, name: str, label: str) -> str:
    """An SVG file as an element of a page: as wide as its place, `label` for listeners, its ids led by `name`."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.S)
    svg = re.sub(r"\s*<style type=\"text/css\">.*?</style>", "", svg, flags=re.S)  # the page says it once
    width = re.search(r'viewBox="0 0 ([0-9.]+)', svg)
    pixels = round(float(width[1]) * DPI / 72) if width else round(PAGE_PX)
    used = set(re.findall(r'(?:url\(#|href="#)([^)"]+)', svg))
    svg = re.sub(r' id="([^"]*)"', lambda found: f' id="{name}-{found[1]}"' if found[1] in used else "", svg)
    svg = re.sub(r'(url\(#|href="#)', rf"\g<1>{name}-", svg)
    label = html.escape(label, quote=True)
    svg = re.sub(
        r'<svg [^>]*?(viewBox="[^"]*")[^>]*>',
        rf'<svg \1 xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
        rf'aria-label="{label}" style="width:100%;max-width:{pixels}px;height:auto">',
        svg,
        count=1,
    )
    return rounded(svg).strip()


def rounded(svg: str) -> str:
    """The same drawing with coordinates to a hundredth of a point: smaller, and steady from machine to machine."""

    def shorter(found: re.Match[str]) -> str:
        return re.sub(r"-?\d+\.\d{3,}", lambda number: f"{round(float(number[0]), 2) + 0.0:g}", found[0])

    return re.sub(r'\b(?:d|x|y|x1|y1|x2|y2)="[^"]*"', shorter, svg)
