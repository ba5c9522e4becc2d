"""The picture: nothing lies on anything, every word is in its box, everything is said in words too."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from solver.demo import demo_goal
from solver.graph import graph
from solver.graph.lettering import width
from solver.graph.placing import STEP, Box, place

SVG = "{http://www.w3.org/2000/svg}"
CHOSEN = ("rear-shafts-31", "pitman-38", "wheel-127", "cylinder-23.8", "coil-hearsay")
CASES: dict[str, dict[str, object]] = {
    "all": {"parts": CHOSEN},
    "conflict": {"parts": CHOSEN, "show": "conflict"},
    "doubtful": {"parts": CHOSEN, "show": "doubtful"},
    "changed": {"parts": CHOSEN, "show": "changed"},
    "nothing": {"parts": ("wheel",), "show": "conflict"},
    "around an axle": {"around": "front-axle-marram"},
    "around a coil": {"around": "coil-new-75"},
}


@cache
def drawn(case: str) -> str:
    body = graph(demo_goal(), "svg", **CASES[case]).body  # type: ignore[arg-type]
    assert isinstance(body, str)
    return body


def text_width(text: str, size: float, bold: bool) -> float:
    """The width matplotlib's own font file gives."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    font = FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal")
    return float(TextPath((0, 0), text, size=size, prop=font).get_extents().width) if text.strip() else 0.0


def boxes(root: ElementTree.Element) -> list[tuple[ElementTree.Element, tuple[float, float, float, float]]]:
    found = []
    for group in root.iter(f"{SVG}g"):
        for rect in group.findall(f"{SVG}rect"):
            if rect.get("class") == "box":
                x, y, w, h = (float(rect.get(k, "nan")) for k in ("x", "y", "width", "height"))
                found.append((group, (x, y, x + w, y + h)))
    return found


@pytest.mark.parametrize("case", CASES)
def test_no_label_lies_on_another(case: str) -> None:
    found = boxes(ElementTree.fromstring(drawn(case)))
    assert found or case == "nothing"
    for (_, a), (_, b) in combinations(found, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (a, b)
    assert all(a[0] >= 0 and a[2] <= 900 for _, a in found)


@pytest.mark.parametrize("case", CASES)
def test_every_word_is_legible_and_in_its_box(case: str) -> None:
    root = ElementTree.fromstring(drawn(case))
    assert root.get("width") == "900"
    assert all(float(text.get("font-size", "0")) >= 11 for text in root.iter(f"{SVG}text"))
    for group, (left, top, right, bottom) in boxes(root):
        for text in group.findall(f"{SVG}text"):
            x, y = float(text.get("x", "nan")), float(text.get("y", "nan"))
            wide = text_width(text.text or "", float(text.get("font-size", "0")), text.get("font-weight") == "700")
            start = x - wide / 2 if text.get("text-anchor") == "middle" else x
            assert left <= start and start + wide <= right + 0.5, text.text
            assert top < y < bottom


def test_what_is_new_doubtful_and_clashing_is_said_in_words_and_shapes() -> None:
    root = ElementTree.fromstring(drawn("all"))
    cards = {g.get("class"): g for g, _ in boxes(root) if (g.get("class") or "").startswith("card")}

    def said(kind: str) -> list[str]:
        return [text.text or "" for text in cards[kind].iter(f"{SVG}text")]

    assert {"NEW", "CLASH"} <= set(said("card new clash"))
    assert "CHECK" in said("card new doubt")
    # Four corners, eight where cut, six where pointed.
    corners = {
        kind: cards[kind].find(f"{SVG}path").get("d", "").count(" L") + 1  # type: ignore[union-attr]
        for kind in ("card kept sound", "card new clash", "card new doubt")
    }
    assert corners == {"card kept sound": 4, "card new clash": 8, "card new doubt": 6}


def test_the_clash_shows_its_numbers_on_the_edge() -> None:
    root = ElementTree.fromstring(drawn("conflict"))
    labels = [
        " ".join(t.text or "" for t in g.iter(f"{SVG}text")) for g in root.iter(f"{SVG}g") if g.get("class") == "label"
    ]
    # The wheel's circle is 127 mm, the hub's 125 mm, within 0.1 mm; 31 splines meet 25.
    assert any("bolt circle 125.0 mm against 127.0 mm" in x and "1.9 mm off" in x for x in labels)
    assert any("splines 31 against 25: 6 off" in x for x in labels)


def test_the_front_is_at_the_top_and_singles_keep_their_side() -> None:
    root = ElementTree.fromstring(drawn("all"))
    middle = {
        (group.find(f"{SVG}title").text or "").split("\n")[0]: ((b[0] + b[2]) / 2, (b[1] + b[3]) / 2)  # type: ignore[union-attr]
        for group, b in boxes(root)
    }
    assert middle["front axle"][1] < middle["rear axle"][1]
    # The steering box sits left, the front propshaft right of the middle; seen from above with the front up.
    assert middle["steering box"][0] < 450 < middle["front prop"][0]


def test_luminance_tells_new_doubt_and_paper_apart_in_grey_print() -> None:
    from solver.graph.picture import CLASH, DOUBT, NEW, PAPER

    def luminance(colour: str) -> float:
        """WCAG 2.2, relative luminance."""
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    def contrast(a: str, b: str) -> float:
        one, two = sorted((luminance(a), luminance(b)), reverse=True)
        return (one + 0.05) / (two + 0.05)

    # WCAG 2.2: 4.5 to 1 for text (1.4.3), 3 to 1 for what must be told apart (1.4.11).
    assert contrast(NEW, PAPER) >= 4.5 and contrast(CLASH, PAPER) >= 4.5
    assert contrast(NEW, DOUBT) >= 3 and contrast(NEW, CLASH) >= 1.5


def test_a_box_takes_the_nearest_free_place() -> None:
    room, wanted = Box(100, 100, 200, 200), Box(100, 100, 40, 20)
    alone = place(wanted, [], room)
    assert alone is not None and abs(alone.x - 100) <= STEP / 2 and abs(alone.y - 100) <= STEP / 2
    beside = place(wanted, [wanted], room, 0.0)
    assert beside is not None and beside.apart(wanted)
    assert place(wanted, [room], room) is None


@pytest.mark.parametrize(
    "text", ["Wheel adapters 30 mm, 5 x 125", "WWWWMMMM@@", "iiiilll", "Füße çà là", "31 × 25 · …"]
)
@pytest.mark.parametrize("bold", [False, True])
def test_estimated_widths_are_never_too_small(text: str, bold: bool) -> None:
    assert width(text, 12, bold) >= text_width(text, 12, bold)


def test_a_crowd_of_long_names_still_finds_room(named: Callable[[str], Path]) -> None:
    body = graph(named("W" * 10_000), "svg", parts=["spring-tall", "axle-big", "wheel-tape"]).body
    assert isinstance(body, str)
    found = boxes(ElementTree.fromstring(body))
    for (_, a), (_, b) in combinations(found, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
