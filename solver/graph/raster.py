"""The picture as PNG, by an optional library."""

from __future__ import annotations

from importlib import import_module

from shared.errors import SwapwrightError

SCALE = 2.0


def png(svg: str) -> bytes:
    """The bytes of a PNG, twice the SVG's size in pixels.

    Raises :class:`SwapwrightError` with what to install where the library is missing.
    """
    try:
        cairosvg = import_module("cairosvg")
    except (ImportError, OSError):
        raise SwapwrightError(
            "a PNG needs one more library: pip install 'swapwright[picture]'; an SVG needs none"
        ) from None
    made: bytes = cairosvg.svg2png(bytestring=svg.encode("utf-8"), scale=SCALE)
    return made
