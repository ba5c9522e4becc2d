"""What a terminal obeys or a reader cannot see is written out."""

from __future__ import annotations

import json
import unicodedata

import pytest

from solver.unseen import visible


def test_what_a_terminal_obeys_is_written_out() -> None:
    """ECMA-48 control functions begin with U+001B or U+009B; U+202E turns the direction of what follows it."""
    assert visible("\x1b[2Jred\x9b1m \u202egpj.exe\u2066") == r"\u001b[2Jred\u009b1m \u202egpj.exe\u2066"
    assert visible("two\nlines\tand a tab, 5 \N{DEGREE SIGN}, \N{DOUBLE PRIME}") == (
        "two\nlines\tand a tab, 5 \N{DEGREE SIGN}, \N{DOUBLE PRIME}"
    )


def test_every_control_and_every_direction_mark_is_caught() -> None:
    """Against the Unicode database: categories Cc and Cs, and the bidirectional controls by their class."""
    turning = {"LRE", "RLE", "PDF", "LRO", "RLO", "LRI", "RLI", "FSI", "PDI"}
    for code in range(0x110000):
        c = chr(code)
        control = unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") and c not in "\n\t"
        if control or unicodedata.bidirectional(c) in turning or c in "\u200e\u200f\u061c":
            assert visible(c) != c, hex(code)
        elif unicodedata.category(c)[0] in "LNPS" or c in "\u200c\u200d":
            assert visible(c) == c, hex(code)


@pytest.mark.parametrize("text", ["\x1b[31m", "\u202eevil", "\x00\x7f\x85", "\ud800", "\U000e0041", "plain"])
def test_json_says_the_same_after_it(text: str) -> None:
    written = json.dumps({"name": text}, ensure_ascii=False)
    assert json.loads(visible(written)) == {"name": text}
