"""Text from strangers made plain, so that no format of the graph can be broken or bent by it."""

from __future__ import annotations

import unicodedata

MOST_LETTERS = 300
"""Longer texts are cut; a name of a thousand letters is no name."""

# Joiners that scripts need to write words at all; every other invisible format character goes.
_JOINERS = "\u200c\u200d"


def plain(text: str, most: int = MOST_LETTERS) -> str:
    """One line without control, direction or half characters, at most ``most`` letters long.

    Everything a person can see stays as it was written.

    >>> plain("left\\nright")
    'left right'
    """
    kept = "".join(_shown(c) for c in text[: 20 * most])
    return clipped(" ".join(kept.split()), most)


def _shown(character: str) -> str:
    if character in _JOINERS:
        return character
    kind = unicodedata.category(character)
    if kind in ("Zl", "Zp", "Zs", "Cc"):
        return " "
    if kind == "Cf":
        return ""
    # Surrogates, unassigned code points and the two of each plane that XML forbids.
    return "\ufffd" if kind in ("Cs", "Cn") else character


def clipped(text: str, most: int) -> str:
    """The text, or its beginning and three dots."""
    return text if len(text) <= most else text[: max(0, most - 1)].rstrip(" …") + "…"
