"""How wide a text is, without asking for a font: widths no common sans-serif exceeds."""

from __future__ import annotations

import unicodedata
from functools import cache

from .plain import clipped

# Advance widths of DejaVu Sans, the widest face a page of ours asks for, as shares of the type size, rounded up.
_WIDTHS = {
    0.28: "'ijl",
    0.32: " ,.IJ",
    0.36: "/:;\\f|·",
    0.40: "()-[]t",
    0.44: "!r",
    0.48: '"',
    0.52: "*_`–",
    0.56: "?Lcsz",
    0.60: "Fkvxy",
    0.64: "$0123456789EPSTYabdeghnopqu{}",
    0.68: "K",
    0.72: "ABCRVXZ",
    0.76: "HNU",
    0.80: "&DGOQ",
    0.84: "#+<=>^w~×",
    0.88: "M",
    0.96: "%",
    1.00: "@Wm…",
}
_SHARES = {letter: share for share, letters in _WIDTHS.items() for letter in letters}
_OTHER = 1.12
# The bold face is at most this much wider, thin letters more so.
_BOLD, _BOLD_THIN, _THIN = 1.17, 1.24, 0.40


@cache
def _share(character: str) -> float:
    if character in _SHARES or character.isascii():
        return _SHARES.get(character, _OTHER)
    if unicodedata.combining(character):
        return 0.0
    base = unicodedata.normalize("NFD", character)[0]
    return _share(base) if base.isascii() else _OTHER


def width(text: str, size: float, bold: bool = False) -> float:
    """The width of a text at most [px] at a type size [px]."""
    if not bold:
        return sum(map(_share, text)) * size
    return sum(share * (_BOLD_THIN if share <= _THIN else _BOLD) for share in map(_share, text)) * size


def fitted(text: str, size: float, room: float, bold: bool = False) -> str:
    """The text, cut to fit a width."""
    if width(text, size, bold) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(clipped(text, middle), size, bold) <= room:
            low = middle
        else:
            high = middle - 1
    return clipped(text, low)


def wrapped(text: str, size: float, room: float, most: int) -> list[str]:
    """The text in at most ``most`` lines, the last one cut."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most:
        taken = 1
        while taken < len(words) and width(" ".join(words[: taken + 1]), size) <= room:
            taken += 1
        rest = " ".join(words) if len(lines) == most - 1 else " ".join(words[:taken])
        lines.append(fitted(rest, size, room))
        words = words[taken:]
    return lines


def flowed(text: str, size: float, room: float, bold: bool = False) -> list[str]:
    """The whole text in as many lines as it takes; a word wider than a line is broken."""
    lines = [""]
    for word in text.split():
        joined = f"{lines[-1]} {word}".strip()
        if width(joined, size, bold) <= room:
            lines[-1] = joined
            continue
        lines += [""] if lines[-1] else []
        for letter in word:
            if lines[-1] and width(lines[-1] + letter, size, bold) > room:
                lines.append("")
            lines[-1] += letter
    return lines
