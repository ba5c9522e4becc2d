"""The number part of a quantity: its small grammar, and what to say about a text that is not one.

    value   = ["+" | "-"] (decimal | [digits " "] digits "/" digits)
    decimal = digits ["." digits] | "." digits

Every pattern here runs over at most ``LONGEST`` characters and has no repeat within a repeat.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from functools import cache

from shared.units import measures

LONGEST = 200
LARGEST = 10**15


class Refused(Exception):
    """Why a text was refused.

    ``expected`` says what should have stood there, ``CALLED`` in it standing for the measure; ``meant`` are texts
    that may have been meant (each is tried before it is offered); ``advice`` is said when none of them can be
    read; ``is_a`` says what the text is instead.
    """

    def __init__(self, expected: str, *meant: str, advice: str = "", is_a: str = "") -> None:
        super().__init__(expected)
        self.expected = expected
        self.meant = meant
        self.advice = advice
        self.is_a = is_a

    def within(self, around: Callable[[str], str]) -> Refused:
        """The same, where the text refused was a part of a longer one."""
        return Refused(self.expected, *map(around, self.meant), advice=self.advice, is_a=self.is_a)


def tidy(text: str) -> str:
    """The text with single spaces; refused if it is too long to be a quantity."""
    if len(text) > LONGEST:
        raise Refused(f"CALLED, in at most {LONGEST} characters")
    return " ".join(text.split())


_NUMBER = re.compile(r"([+-]?)(?:(?:([0-9]+) )?([0-9]+)/([0-9]+)|([0-9]+(?:\.[0-9]+)?|\.[0-9]+))")
_GROUPS = re.compile(r"[0-9]{1,3}(?:[ ,'_][0-9]{3})+(?![0-9])")
_EXPONENT = re.compile(r" ?(?:[eE]|[x*×] ?10(?:\^|\*\*))([+-]?[0-9]{1,3})(?![0-9.])")
_ABOUT = re.compile(r"about|around|approx|circa|ca\.? |roughly|some |~|≈", re.I)


def split_number(text: str) -> tuple[str, Fraction, str]:
    """Cut a tidied text into the number as written, its exact value, and the rest, which is the unit's."""
    match = _NUMBER.match(text)
    if match is None:
        raise _no_number(text)
    written, rest = match[0], text[match.end() :]
    _refuse_more_number(text, written, rest)
    sign, whole, above, below, decimal = match.groups()
    if any(int(part) >= LARGEST for part in (whole, above, below) if part) or Fraction(decimal or 0) >= LARGEST:
        raise Refused("CALLED, with a number below 10 to the 15th")
    if decimal:
        value = Fraction(decimal)
    elif int(below) == 0:
        raise Refused("CALLED, with a fraction that does not divide by zero")
    elif whole and not 0 < int(above) < int(below):
        raise Refused("CALLED, with a fraction between 0 and 1 after the whole number")
    else:
        value = int(whole or 0) + Fraction(int(above), int(below))
    return written, -value if sign == "-" else value, rest.strip()


def _no_number(text: str) -> Refused:
    """What to say where a number should begin and none does."""
    bare = text.lstrip("+-")
    if bare.lower().startswith(("nan", "inf", "∞")):
        return Refused("CALLED, with a finite number")
    if _ABOUT.match(text):
        return Refused("CALLED, as a range", advice='write the least and the most it may be, with "to" between')
    if re.match(r"[+-] ?[.0-9]", text):
        return Refused("CALLED, with the sign right before the number", text[0] + text[1:].strip())
    if re.match(r",[0-9]", bare):
        return Refused("CALLED, with a decimal point", text.replace(",", "0.", 1))
    behind = re.fullmatch(r"([^.0-9]+)([.0-9][.0-9/ ]*)", text)
    if behind:
        return Refused("CALLED, with the number first", f"{behind[2]} {behind[1]}")
    return Refused("CALLED, beginning with a number")


def _refuse_more_number(text: str, written: str, rest: str) -> None:
    """Refuse what looks like more of the number behind the number."""
    ahead = rest.lstrip()
    exponent = _EXPONENT.match(rest)
    if exponent and "/" not in written:
        plain = _written_out(Fraction(written) * Fraction(10) ** int(exponent[1]))
        raise Refused("CALLED, with the number written out", plain + rest[exponent.end() :])
    if exponent or ahead[:1] in ("*", "^", "×"):
        raise Refused("CALLED, with the number written out, without exponents or arithmetic")
    sign = written[0] if written[0] in "+-" else ""
    groups = _GROUPS.match(text, len(sign))
    if groups and groups.end() > len(written):
        behind = text[groups.end() :]
        meant = [sign + re.sub("[ ,'_]", "", groups[0]) + behind]
        if groups[0].count(",") == 1 and not behind.startswith("."):
            meant.append(sign + groups[0].replace(",", ".") + behind)
        raise Refused("CALLED, with the digits together and a point before the decimals", *meant)
    if re.match(r",[0-9]", rest):
        meant = [f"{written}.{rest[1:]}", f"{written}{rest[1:]}"][: 1 if written == "0" else 2]
        if "," in rest[1:]:
            meant = []
        elif "." in written:  # 1.234,5: points between the thousands, then a decimal comma
            meant = [f"{written.replace('.', '')}.{rest[1:]}"] if re.search(r"\.[0-9]{3}$", written) else []
        raise Refused("CALLED, with a decimal point and no commas", *meant)
    if re.match(r"\.( |$|[^0-9])", rest):
        raise Refused("CALLED, with a digit after the decimal point", written + rest[1:])
    if re.match(r"-[0-9]+/[0-9]+", rest):
        raise Refused("CALLED, with a space before the fraction", f"{written} {rest[1:]}")
    hyphen = re.match(r"(.*?) ?- ?([.0-9].*)", rest)
    if hyphen:
        raise Refused('CALLED, with "to" between the ends of a range', f"{written}{hyphen[1]} to {hyphen[2]}")
    if ahead[:1].isdigit() or ahead[:1] in (".", ",", "/", "_", "'"):
        raise Refused("CALLED, with one number before the unit", re.sub(r" ?/ ?", "/", text))


def _written_out(number: Fraction) -> str:
    """A decimal that ends, without an exponent."""
    whole, part = divmod(abs(number), 1)
    digits = ""
    while part and len(digits) < LONGEST:
        digit, part = divmod(part * 10, 1)
        digits += str(digit)
    return f"{'-' * (number < 0)}{whole}{'.' * bool(digits)}{digits}"


_LOOKS_LIKE = str.maketrans({
    "−": "-", "‐": "-", "‑": "-", "‒": "-", "–": "-", "—": "-", "﹣": "-", "－": "-", "⁄": "/", "∕": "/",
    "´": "'", "′": "'", "’": "'", "“": '"', "”": '"', "„": '"', "″": '"', "º": "°", "˚": "°",
})  # fmt: skip


@cache
def _known_characters() -> frozenset[str]:
    """Characters beyond ASCII that the grammar and the units use."""
    return frozenset("±–").union(*(spelling for table in measures().values() for spelling in table.exact))


def refuse_lookalikes(text: str) -> None:
    """Refuse characters that pass for digits, signs or units and are others, such as full-width digits."""
    known = _known_characters()
    folded = "".join(c if c in known or c.isascii() else _fold(c) for c in text)
    if folded != text:
        raise Refused("CALLED, in plain digits and letters", folded)


def _fold(c: str) -> str:
    """The plain character or characters one looks like."""
    if c.isdecimal():
        return str(unicodedata.decimal(c))
    plain = unicodedata.normalize("NFKC", c).translate(_LOOKS_LIKE)
    if unicodedata.decomposition(c).startswith("<fraction>"):
        return f" {plain}"
    return c.translate(_LOOKS_LIKE) if c.translate(_LOOKS_LIKE) != c else plain
