"""Curves of formulas: the numbers against hand figures, limits from the rules, the same bytes every time."""

from __future__ import annotations

import sys
import xml.etree.ElementTree as ET
from io import BytesIO
from math import radians, sin, tan
from pathlib import Path

import pytest
from PIL import Image

from knowledge.computing.dataflow import Dataflow
from shared.errors import SwapwrightError
from shared.faults import BadInput
from solver.demo import demo_goal
from solver.plotting import ChartDocument, chart, drawn, form_of
from solver.plotting.pictures import PICTURES
from solver.standing import car_of
from tests.solver.cli.test_commands import run

COIL = {"mean_diameter": "125 mm", "active_coils": "9", "shear_modulus": "78.5 GPa"}


@pytest.fixture(scope="module")
def car() -> Dataflow:
    return car_of(demo_goal("trail"))


@pytest.fixture(scope="module")
def pictures(car: Dataflow) -> dict[str, ChartDocument]:
    return {name: chart(name, {}, car=car) for name in PICTURES}


def at(document: ChartDocument, x: float, curve: int = 0) -> float:
    """A curve's value nearest to a point."""
    i = min(range(len(document.points)), key=lambda n: abs(document.points[n] - x))
    value = document.curves[curve].lo[i]
    assert value is not None
    return value


def test_a_formula_along_one_input() -> None:
    """Rate goes with the fourth power of the wire (EN 13906-1): 13 to 16 mm is (16/13)^4 = 2.295."""
    document = chart("coil_rate", COIL, "wire=13 mm to 16 mm")
    first, last = document.curves[0].lo[0], document.curves[0].lo[-1]
    assert first is not None and last is not None
    assert last / first == pytest.approx(2.2946, rel=1e-4)
    assert document.x.label == "wire [mm]" and document.y.label == "coil rate [N/mm]"
    assert "EN 13906-1" in document.source


def test_a_range_is_a_band() -> None:
    document = chart("coil_rate", {**COIL, "mean_diameter": "123 to 127 mm"}, "wire=13 mm to 16 mm")
    curve = document.curves[0]
    assert all(lo is not None and hi is not None and lo < hi for lo, hi in zip(curve.lo, curve.hi, strict=True))


def test_several_values_are_several_curves() -> None:
    document = chart("coil_rate", {**COIL, "active_coils": "8; 9; 10"}, "wire=13 mm to 16 mm")
    assert [c.label for c in document.curves] == [f"active coils {n}" for n in ("8.00", "9.00", "10.00")]


def test_only_where_the_formula_is_valid() -> None:
    document = chart("coil_rate", COIL, "wire=13 mm to 900 mm")
    assert document.points[-1] == pytest.approx(0.05)
    assert document.notes
    with pytest.raises(BadInput, match="within"):
        chart("coil_rate", COIL, "wire=800 mm to 900 mm")


@pytest.mark.parametrize("against", ["wire", "wire=13 mm", "wire=13 to 16", "length=1 mm to 2 mm", ""])
def test_a_bad_stretch_is_told(against: str) -> None:
    with pytest.raises(BadInput):
        chart("coil_rate", COIL, against)


def test_what_is_missing_is_named_with_the_way_out() -> None:
    with pytest.raises(BadInput, match="wheelbase") as caught:
        chart("brake-balance", {})
    assert "--car" in str(caught.value)


def test_limits_of_the_rules_are_on_it(car: Dataflow) -> None:
    document = chart("ride_frequency_front", {}, "rate=12 N/mm to 40 N/mm", car=car)
    assert sorted(limit.at for limit in document.limits if limit.at) == [1.0, 1.6, 1.8]
    assert all(limit.source for limit in document.limits)


def test_lift_against_shackle_length(pictures: dict[str, ChartDocument]) -> None:
    """Shackles of 125, 150, 170 mm in place of 100: 12, 24, 34 mm (the reference car, by exact geometry)."""
    for length, lift in ((0.125, 0.012), (0.150, 0.024), (0.170, 0.034)):
        assert at(pictures["shackle-lift"], length) == pytest.approx(lift, abs=6e-4)


def test_a_shackle_that_lies_down_is_barred() -> None:
    """A pivot close to the leaf's length lays a short shackle flat: over 45 deg from upright is barred.

    The eye stands 1.247 from the fixed eye and e from the pivot (1.170, 0.060); at 45 deg, with u = e / sqrt 2,
    2 u^2 + 2 (1.170 - 0.060) u + 1.170^2 + 0.060^2 = 1.247^2 gives e = 108.7 mm.
    """
    low = {"pivot_x": "1170 mm", "pivot_z": "60 mm", "stock_eye_distance": "100 mm", "chord": "1247 mm"}
    document = chart("shackle-lift", {**low, "axle_fraction": "0.46"})
    (barred,) = document.barred
    assert barred.end == pytest.approx(0.1087, abs=0.0009)


def test_brake_balance_against_deceleration(pictures: dict[str, ChartDocument]) -> None:
    """The front uses more grip than the rear from 0.15 to 0.8 g; the least margin is 0.114, at 0.15 (reference car)."""
    front, rear = pictures["brake-balance"].curves
    margins = [f - r for f, r in zip(front.lo, rear.lo, strict=True) if f is not None and r is not None]
    assert min(margins) == pytest.approx(0.114, abs=0.001)
    assert margins[0] == min(margins)
    most = next(x for x in pictures["brake-balance"].limits if "R13-H" in x.source)
    # UN R13-H, annex 5: z = 0.1 + 0.7 (k - 0.2) is k = 0.9 at z = 0.59
    z = [a / 9.80665 for a in pictures["brake-balance"].points]
    k = most.along[min(range(len(z)), key=lambda i: abs(z[i] - 0.59))]
    assert k == pytest.approx(0.9, abs=0.005)


def test_revs_against_speed_by_gear(pictures: dict[str, ChartDocument]) -> None:
    """Five gears; 100 km/h in top on 341.5 mm and 41/11: 27.78 / 0.3415 x 3.727 x 0.79 = 239.5 rad/s, 2287 rpm."""
    document = pictures["revs-by-gear"]
    assert len(document.curves) == 5
    assert at(document, 100 / 3.6, 4) / (100 / 3.6) == pytest.approx(239.5 / 27.78, rel=0.01)


def test_joint_ripple_against_angle(pictures: dict[str, ChartDocument]) -> None:
    """Half of sin a tan a: 0.14 % at 3 deg, 0.55 % at 6 deg (Mechanical Engineer's Data Handbook, 2.4.3)."""
    for degrees in (3.0, 6.0, 9.0):
        a = radians(degrees)
        assert at(pictures["joint-ripple"], a) == pytest.approx(sin(a) * tan(a) / 2, rel=0.01)
    assert any("SAE AE-7" in limit.source for limit in pictures["joint-ripple"].limits)


@pytest.mark.parametrize("name", sorted(PICTURES))
def test_an_svg_says_what_the_chart_says(pictures: dict[str, ChartDocument], name: str) -> None:
    document = pictures[name]
    body = drawn(document, "svg")
    assert body == drawn(document, "svg")
    text = " ".join(e.text or "" for e in ET.fromstring(body.decode()).iter("{http://www.w3.org/2000/svg}text"))
    assert document.x.label in text and document.y.label in text and "Source:" in text
    for limit in document.limits:
        assert limit.text.split(":")[0][:20] in text


def test_a_png_is_a_picture(pictures: dict[str, ChartDocument]) -> None:
    image = Image.open(BytesIO(drawn(pictures["joint-ripple"], "png", "us")))
    assert image.format == "PNG" and image.width > 900


def test_without_the_library_it_says_what_to_install(
    pictures: dict[str, ChartDocument], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(SwapwrightError, match=r"swapwright\[plot\]"):
        drawn(pictures["joint-ripple"], "svg")


def test_other_forms_are_refused() -> None:
    with pytest.raises(SwapwrightError, match="pdf"):
        form_of(Path("a.pdf"))


def test_the_command_draws_and_tells(tmp_path: Path) -> None:
    files = [tmp_path / "a.svg", tmp_path / "b.svg"]
    for seed, file in enumerate(files):
        done = run("calc", "joint-ripple", "shaft_speed=2800 rpm", "--plot", file, seed=str(seed))
        assert done.returncode == 0 and "Limits" in done.stdout and str(file) in done.stderr
    assert files[0].read_bytes() == files[1].read_bytes()
    assert run("calc", "joint-ripple", "--plot", tmp_path / "c.gif").returncode == 2
