"""Wear limits against the text of the regulation: each number as it stands there, in the unit it stands in.

Sources: 49 CFR 570 (vehicle in use inspection standards), clauses as cited; Utah Admin. Code R714-160-8; the UK
inspection manual, 5.2.3.  The numbers below are the regulation's own fractions, typed from those texts.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from knowledge.garage import Garage
from knowledge.layouts import layouts_folder, read_layout
from knowledge.measured.condition import regulation_end
from knowledge.measured.measurements import Reading
from knowledge.measured.readings import Measured
from knowledge.standards.inspection import inspection_limits
from shared.evidence import Evidence, Value
from shared.layout import Layout
from shared.part import Part
from shared.ranges import Range
from shared.vehicle import Vehicle
from shared.verdict import Verdict
from shared.wear import WearLimit
from solver.wear import wear_reasons

INCH = Fraction("25.4")
# Row, inches as the text has them, whether it is the most or the least that passes.
TEXT = {
    "I-05": ("1/4", "max"),  # 570.7(b): linkage play at the tread, front wheels
    "I-06": ("1/4", "max"),  # 570.60 table 3: rim 16 in or less
    "I-07": ("3/8", "max"),  # 570.60 table 3: over 16 to 18 in
    "I-08": ("1/2", "max"),  # 570.60 table 3: over 18 in
    "I-01": ("2", "max"),  # 570.7 table 1: lash, wheel 16 in or less
    "I-02": ("9/4", "max"),  # 570.7 table 1: 18 in, 2 1/4
    "I-03": ("5/2", "max"),  # 570.7 table 1: 20 in, 2 1/2
    "I-04": ("11/4", "max"),  # 570.7 table 1: 22 in, 2 3/4
    "I-13": ("4/32", "min"),  # 570.62(a): tread, front
    "I-14": ("2/32", "min"),  # 570.62(a): tread, others
    "I-15": ("2/32", "min"),  # 570.9(a)
    "I-16": ("2/32", "min"),  # R714-160-8(1)(g)
    "I-18": ("1/8", "max"),  # 570.10(b): rim, lateral and radial
    "I-20": ("1/32", "min"),  # 570.59(c): riveted lining
    "I-21": ("1/16", "min"),  # 570.59(c): bonded lining
    "I-22": ("1/32", "min"),  # 570.5(g)
}


@pytest.mark.parametrize("row", sorted(TEXT))
def test_the_table_has_the_regulations_fractions(row: str) -> None:
    inches, kind = TEXT[row]
    limit = inspection_limits()[row]
    assert (limit.unit, limit.kind) == ("in", kind)
    assert Fraction(repr(limit.limit)) == Fraction(inches)
    (end,) = regulation_end(limit, "length")
    assert end.number == pytest.approx(float(Fraction(inches) * INCH / 1000), rel=1e-12)


def test_what_is_only_seen_has_no_number() -> None:
    """570.61(b), 570.59(b), 570.55(d): oil, a mark passed, a chafed hose are there or not."""
    for row in ("I-12", "I-23", "I-34"):
        assert inspection_limits()[row].unit == "presence"
        assert regulation_end(inspection_limits()[row], "length") == ()


@pytest.fixture(scope="module")
def layout() -> Layout:
    return read_layout(layouts_folder() / "solid-axle-4x4")


def judged(layout: Layout, limit: WearLimit, value: Value, marked: dict[str, Value] | None = None) -> Verdict:
    """The verdict on one piece of a part of the limit's kind with one thing read on it."""
    at = next(p.name for p in layout.positions.values() if p.kind == limit.kind)
    part = Part("x", "X", limit.kind, (at,), {}, marked or {})
    reading = Reading(1, "2026-03-07", "x", "left", limit.path, value)
    measured = Measured(pieces={"x": {reading.piece: {limit.path: value}}})
    alone = replace(layout, wear={limit.kind: (limit,)})
    garage = Garage(alone, Vehicle("V", "", {}, {}, {}), {"x": part}, measured)
    reasons = wear_reasons(garage, at, part)
    assert all(r.source == limit.source and r.relation == f"condition at {at}" for r in reasons)
    return max((r.verdict for r in reasons), default=Verdict.FITS)


def read(inches: Fraction, tolerance: Fraction = Fraction(0)) -> Value:
    low, high = (float((inches + t) * INCH / 1000) for t in (-tolerance, tolerance))
    return Value(Range(low, high), f"{inches} in", Evidence.MEASURED)


CITED = {
    ("caliper", "lining"): ("1/32", "min"),  # 570.5(g)
    ("rear_brake", "lining"): ("1/32", "min"),  # 570.5(g)
    ("wheel", "runout"): ("1/8", "max"),  # 570.10(b)
}


@pytest.mark.parametrize(("kind", "path"), sorted(CITED))
def test_a_piece_passes_up_to_the_limit_and_not_beyond(layout: Layout, kind: str, path: str) -> None:
    inches, side = CITED[kind, path]
    limit = next(x for x in layout.wear[kind] if x.path == path)
    at, step = Fraction(inches), Fraction(1, 1000)
    worse = at - step if side == "min" else at + step
    assert judged(layout, limit, read(at)) is Verdict.FITS
    assert judged(layout, limit, read(worse)) is Verdict.NO
    assert judged(layout, limit, read(worse, 2 * step)) is Verdict.CHECK  # the tool cannot tell


def test_tread_is_held_to_the_stricter_of_the_two_texts(layout: Layout) -> None:
    """2/32 in is 1.5875 mm; the metric texts say 1.6 mm."""
    limit = next(x for x in layout.wear["tyre"] if x.path == "tread")
    assert judged(layout, limit, Value(Range(1.6e-3, 1.6e-3), "1.6 mm")) is Verdict.FITS
    assert judged(layout, limit, Value(Range(1.59e-3, 1.59e-3), "1.59 mm")) is Verdict.NO
    assert "570.9(a)" in limit.source and "5.2.3" in limit.source


def test_a_rotor_is_held_to_its_own_mark(layout: Layout) -> None:
    """570.59(b): a drum or disc is not used beyond the limit marked on it; unmarked, nothing can be said."""
    limit = next(x for x in layout.wear["rotor"] if x.path == "disc.thickness")
    worn = Value(Range(11.2e-3, 11.2e-3), "11.2 mm")
    mark = {"thickness_min": Value(Range(11.9e-3, 11.9e-3), "11.9 mm", Evidence.MARKED)}
    assert judged(layout, limit, worn, mark) is Verdict.NO
    assert judged(layout, limit, Value(Range(11.9e-3, 11.9e-3), "11.9 mm"), mark) is Verdict.FITS
    assert judged(layout, limit, worn) is Verdict.FITS


def test_a_drum_is_held_to_its_own_mark(layout: Layout) -> None:
    limit = next(x for x in layout.wear["rear_brake"] if x.path == "drum_diameter")
    mark = {"drum_diameter_max": Value(Range(0.2555, 0.2555), "255.5 mm", Evidence.MARKED)}
    assert judged(layout, limit, Value(Range(0.2555, 0.2555), ""), mark) is Verdict.FITS
    assert judged(layout, limit, Value(Range(0.2556, 0.2556), ""), mark) is Verdict.NO


@pytest.mark.parametrize(
    ("kind", "path", "good", "bad"),
    [
        ("damper", "body", "misted", "wet"),  # 570.61(b): oil from a leaking seal
        ("brake_hose", "rubber", "sound", "chafed"),  # 570.55(d): not cracked, chafed or flattened
        ("wheel", "cracks", "none", "welded"),  # 570.10(a): no cracks, no repair by welding
    ],
)
def test_what_is_seen(layout: Layout, kind: str, path: str, good: str, bad: str) -> None:
    limit = next(x for x in layout.wear[kind] if x.path == path)
    assert judged(layout, limit, Value(good, good)) is Verdict.FITS
    assert judged(layout, limit, Value(bad, bad)) is Verdict.NO


def test_the_scope_is_told(layout: Layout) -> None:
    """Subpart B is written for vehicles above 10 000 lb: a light car's owner has to see that."""
    hose = next(x for x in layout.wear["brake_hose"] if x.path == "rubber")
    assert hose.source == "49 CFR 570.55(d), written for > 10 000 lb"
    wheel = next(x for x in layout.wear["wheel"] if x.path == "runout")
    assert wheel.source == "49 CFR 570.10(b)"
