"""The wear limits are whole: each has a source, agrees with the part kinds, and says something about a piece."""

from __future__ import annotations

import pytest

from knowledge.layouts import layouts_folder, read_layout
from knowledge.standards.measuring_tools import measuring_tools, tool_for, tools_of
from shared.evidence import Evidence
from shared.interface import WORD
from shared.layout import Layout
from shared.units import measures


@pytest.fixture(scope="module")
def layout() -> Layout:
    return read_layout(layouts_folder() / "solid-axle-4x4")


def test_every_limit_is_whole(layout: Layout) -> None:
    limits = [limit for some in layout.wear.values() for limit in some]
    assert len(limits) > 40
    for limit in limits:
        assert limit.says and limit.source, limit
        assert limit.at_least or limit.at_most or limit.accept or limit.apart is not None, limit
        assert set(limit.accept) < set(limit.attribute.one_of) or not limit.accept
        if limit.own:
            assert limit.attribute.read, limit
            assert limit.attribute.measure == WORD or limit.attribute.uncertainty > 0.0, limit


def test_a_source_is_a_clause_or_says_that_there_is_none(layout: Layout) -> None:
    for some in layout.wear.values():
        for limit in some:
            assert "CFR" in limit.source or "MOT" in limit.source or "common practice, no source" in limit.source
            assert limit.source != "" and "://" not in limit.source


def test_what_is_read_with_a_tool_is_finer_than_its_limit(layout: Layout) -> None:
    """A limit that the usual tool cannot see would leave every piece in doubt."""
    for some in layout.wear.values():
        for limit in some:
            ends = [end.number for end in (*limit.at_least, *limit.at_most) if end.number]
            if limit.own and ends:
                assert limit.attribute.uncertainty <= min(ends) / 2, limit


def test_tools() -> None:
    assert tools_of("mass")[0] == "scale" and "caliper" not in tools_of("mass")
    tape = tool_for("tape", "length")
    assert tape is not None and tape.tolerance == pytest.approx(0.001) and tape.evidence is Evidence.MEASURED
    guess = tool_for("guess", "angle")
    assert guess is not None and guess.share == pytest.approx(0.1) and guess.evidence is Evidence.GUESSED
    assert tool_for("tape", "mass") is None and tool_for("nose", "mass") is None
    for tools in measuring_tools().values():
        for tool in tools.values():
            assert tool.source and tool.about and tool.measure in {*measures(), WORD, "any"}


def test_wear_is_read_from_nothing_up(layout: Layout) -> None:
    """No pit is a good answer, a negative one is none; what the part has itself keeps its own range."""
    limits = {(kind, limit.path): limit for kind, found in layout.wear.items() for limit in found}
    pit = limits["coil", "pit_depth"].attribute.valid
    assert pit is not None and pit.value.lo == 0.0 and pit.text == "0 mm to 10 m"
    wire = limits["coil", "wire"].attribute.valid
    assert wire is not None and wire.value.lo > 0.0
    assert limits["coil", "state"].attribute.valid is None
