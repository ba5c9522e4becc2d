"""The picture as PNG, by an optional library that carries its own renderer."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from shared.errors import SwapwrightError

from .picture import FONT

SCALE = 2.0
_CANVAS = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20">{}</svg>'
_WORDS = _CANVAS.format(f'<text x="1" y="15" font-family="{FONT}">Mm</text>')
_NOTHING = _CANVAS.format("")


def png(svg: str) -> bytes:
    """The bytes of a PNG, twice the SVG's size in pixels.

    Raises :class:`SwapwrightError` with what to install where the library is missing, or where the machine has no
    font to letter the picture with.
    """
    try:
        renderer: Any = import_module("resvg_py")
    except ImportError:
        raise SwapwrightError(
            "a PNG needs one more library: pip install 'swapwright[picture]'; an SVG needs none"
        ) from None
    folders = next((some for some in ([], _fonts_of_plots()) if _letters(renderer, some)), None)
    if folders is None:
        raise SwapwrightError(
            "a PNG needs a font and none is installed here: install one (the DejaVu fonts, say); an SVG needs none"
        )
    return bytes(renderer.svg_to_bytes(svg_string=svg, zoom=SCALE, font_dirs=folders))


def _letters(renderer: Any, folders: list[str]) -> bool:
    """Whether words come out in the picture's own fonts: without one the renderer leaves them out and says nothing."""
    words, nothing = (bytes(renderer.svg_to_bytes(svg_string=x, font_dirs=folders)) for x in (_WORDS, _NOTHING))
    return words != nothing


def _fonts_of_plots() -> list[str]:
    """The folder of the fonts that the library of plots carries, where that is installed."""
    spec = find_spec("matplotlib")
    places = [] if spec is None else list(spec.submodule_search_locations or ())
    return [str(Path(place, "mpl-data", "fonts", "ttf")) for place in places]
