"""The ledger in words: exact where there is room; on a small screen by its size, which says that it is one."""

from __future__ import annotations

import pytest

from shared.explained import Ledger, RuledOut
from solver.explain.ledger_text import ledger_lines, sized
from solver.folding import fitted

ALL = 43_200_792_902_612_860_010_496_000_000_000_000_000_000_000


def ledger() -> Ledger:
    """Forty-digit counts, as the demo has them: 7 of 8 ruled out by one rule."""
    rule = RuledOut(relation="wheel-on-front-hub", kind="requirement", says="", alone=ALL // 8 * 7, beyond=None)
    return Ledger(combinations=ALL, meeting=None, not_counted="too many", rules=(rule,))


def test_paper_has_every_digit() -> None:
    text = fitted(ledger_lines(ledger()))
    assert f"of {ALL:,} combinations" in text and f"  wheel-on-front-hub  87.5 %  {ALL // 8 * 7:,}" in text


def test_a_small_screen_has_the_size_and_says_that_it_is_one() -> None:
    """The whole goes on after a comma; what each rule rules out is told by its size, in one line."""
    lines = fitted(ledger_lines(ledger()), 40).split("\n")
    assert max(map(len, lines)) <= 40
    assert f"{ALL:,}" in "".join(lines)
    assert "    alone rules out: about 3.8 x 10^43" in lines and "    share: 87.5 %" in lines


@pytest.mark.parametrize(
    ("many", "told"),
    [
        (1, "not counted: 1 rule, too many parts at once for the steps allowed: wide-00"),
        (12, ", wide-10, wide-11"),
        (39, ", wide-10, wide-11, and 27 more (--json has them)"),
    ],
)
def test_the_rules_that_were_not_counted_are_named(many: int, told: str) -> None:
    """As many as of those that were; of the rest it says where they are."""
    rules = [
        RuledOut(relation=f"wide-{i:02}", kind="requirement", says="", alone=None, beyond=None) for i in range(many)
    ]
    lines = fitted(ledger_lines(ledger().model_copy(update={"rules": (*ledger().rules, *rules)}))).split("\n")
    assert lines[-1].endswith(told)
    assert "wide" not in "".join(lines[:-1])


def test_a_size_is_the_count_rounded_to_two_digits() -> None:
    """By hand; what a person takes in stays exact."""
    assert sized(999_999_999_999) == "999,999,999,999"
    assert sized(1_000_000_000_000) == "about 1.0 x 10^12"
    assert sized(9_960_000_000_000) == "about 1.0 x 10^13"
    assert sized(43_200_792_902_612) == "about 4.3 x 10^13"
