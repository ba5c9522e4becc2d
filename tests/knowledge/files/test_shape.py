"""The nearest known name, where somebody types another."""

from __future__ import annotations

import pytest

from knowledge.files.shape import nearest

MANY = [f"x{n}" for n in range(20)]


@pytest.mark.parametrize(
    ("word", "known", "mend"),
    [
        ("colis", ["coil", "leaf", *MANY], "did you mean 'coil'?"),
        # Too unlike the whole of a name, but one of its words.
        ("coil", ["front_coil_spring", "leaf", *MANY], "did you mean 'front_coil_spring'?"),
        (
            "coil",
            ["front_coil_spring", "old-coil-spring", *MANY],
            "did you mean 'front_coil_spring' or 'old-coil-spring'?",
        ),
        ("coil", [*(f"coil-spring-{n}" for n in range(20)), *MANY], ""),
        ("oil", ["front_coil_spring", *MANY], ""),
        ("what", ["coil", "leaf"], "one of: coil, leaf"),
        ("what", MANY, ""),
    ],
)
def test_what_may_have_been_meant(word: str, known: list[str], mend: str) -> None:
    assert nearest(word, known) == mend
