"""The picture as PNG, by an optional library that carries its own renderer."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from shared.errors import SwapwrightError

SCALE = 2.0
_WORDS = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><text x="1" y="15">Mm</text></svg>'
_NOTHING = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"></svg>'


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
    # Without a font the renderer leaves every word out and says nothing.
    if renderer.svg_to_bytes(svg_string=_WORDS) == renderer.svg_to_bytes(svg_string=_NOTHING):
        raise SwapwrightError(
            "a PNG needs a font and none is installed here: install one (the DejaVu fonts, say); an SVG needs none"
        )
    return bytes(renderer.svg_to_bytes(svg_string=svg, zoom=SCALE))
