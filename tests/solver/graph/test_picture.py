"""The picture: nothing lies on anything, every word is in its box, everything is said in words too."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import matplotlib
import pytest
from PIL import ImageFont

from knowledge.garage import read_goal
from shared.errors import SwapwrightError
from solver.demo import demo_goal
from solver.graph import graph, graph_of, graph_of_build, showing
from solver.graph.lettering import flowed, width
from solver.graph.model import Graph
from solver.graph.neighbours import around_in
from solver.graph.picked import picked
from solver.graph.picture import svg
from solver.graph.placing import STEP, Box, place
from solver.graph.raster import png
from solver.graph.scene import MOST_LABELS
from solver.graph.showing import Show
from solver.graph.sketch import ranged
from solver.graph.sources import put, refused, resolve
from solver.problem import Problem, build_problem
from solver.relations import Build

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
CHOSEN = ("rear-shafts-31", "pitman-38", "wheel-127", "cylinder-23.8", "coil-hearsay")
# What is shown of the car with the chosen parts.
CASES: tuple[Show, ...] = ("all", "conflict", "doubtful", "changed")
AROUND = ("front-axle-marram", "coil-new-75")
# One build of each demo goal that has some (any will do: what is drawn is the whole car), and conflicts of those
# that have none.
BUILDS = {
    "trail": ("stop-front-marram", "coil-lindel-long", "block-40", "stop-rear-20", "tyre-225-75", "speedo-31"),
    "tight": ("stop-front-20", "coil-lindel-long", "block-40", "stop-rear-20"),
    "yard": ("spacer-20", "stop-front-20", "rear-axle-marram", "block-25"),
}
REFUSALS = {
    "clash": (
        ("use at rear_shafts", "use at rear_carrier", "rear-shafts-in-carrier"),
        ("use at wheel", "wheel-on-front-hub", "rotor-on-hub"),
        ("use at pitman_arm", "links-parallel"),
    ),
    "impossible": (
        ("want tyre_diameter", "arch-lock", "tyre-on-wheel"),
        ("want lift_front", "want rear_shaft_safety", "want price", "rear-axle-under-body", "rear-shafts-in-carrier"),
    ),
}
EVERY = [*CASES, "nothing", *AROUND, *BUILDS, *REFUSALS, "trail, narrow", "clash, narrow"]


@cache
def problem_of(goal: str) -> Problem:
    return build_problem(*read_goal(demo_goal().parent / f"goal-{goal}.yaml"))


def build_with(problem: Problem, names: Iterable[str]) -> Build:
    build = problem.stock
    for name in names:
        if name in problem.garage.parts:
            at, part = resolve(problem, name, demo_goal())
            assert part is not None
            build = put(problem, build, at, part)
    return build


@cache
def of_goal(goal: str) -> Graph:
    problem = problem_of(goal)
    if goal in REFUSALS:
        conflicts = [[problem.named(name) for name in names] for names in REFUSALS[goal]]
        found = refused(problem, conflicts, 1, demo_goal())
        return showing(graph_of_build(problem, found.build, "metric", found.conflicts, found.title), "conflict")
    return graph_of_build(problem, build_with(problem, BUILDS[goal]))


@cache
def chosen() -> Graph:
    problem = problem_of("trail")
    return graph_of_build(problem, build_with(problem, CHOSEN), wants=False)


@cache
def drawn(case: str) -> str:
    goal, _, narrow = case.partition(", ")
    if goal in (*BUILDS, *REFUSALS):
        found = of_goal(goal)
        return svg(showing(found, "changed") if narrow and goal in BUILDS else found, 360.0 if narrow else 900.0)
    problem = problem_of("trail")
    if case == "nothing":
        return svg(showing(graph_of_build(problem, problem.stock, wants=False), "conflict"))
    if case in AROUND:
        return svg(around_in(problem, problem.stock, *resolve(problem, case, demo_goal())))
    return svg(showing(chosen(), case))  # type: ignore[arg-type]


@cache
def font(size: float, bold: bool) -> ImageFont.FreeTypeFont:
    # Ten times as large, for Pillow rounds to whole pixels.
    return ImageFont.truetype(str(FONTS / f"DejaVuSans{'-Bold' if bold else ''}.ttf"), 10 * size)


def ink(text: str, size: float, bold: bool) -> tuple[float, float, float, float]:
    """Where matplotlib's own font file leaves ink, from the start of the base line: left, top, right, bottom."""
    left, top, right, bottom = font(size, bold).getbbox(text, anchor="ls")
    return left / 10, top / 10, right / 10, bottom / 10


def text_width(text: str, size: float, bold: bool) -> float:
    left, _, right, _ = ink(text, size, bold)
    return right - left


Found = tuple[ElementTree.Element, float, float]
Corners = tuple[float, float, float, float]


def placed(element: ElementTree.Element, x: float = 0.0, y: float = 0.0) -> Iterator[Found]:
    """Every element with how far its groups are moved."""
    if "transform" in element.attrib:
        right, down = element.attrib["transform"].removeprefix("translate(").removesuffix(")").split()
        x, y = x + float(right), y + float(down)
    yield element, x, y
    for child in element:
        yield from placed(child, x, y)


def boxes(root: ElementTree.Element) -> list[tuple[ElementTree.Element, Corners]]:
    """Every group that has a box, with the box's corners."""
    found = []
    for group, right, down in placed(root):
        for rect in group.findall(f"{SVG}rect"):
            if rect.get("class") in ("box", "sample"):
                x, y, w, h = (float(rect.get(k, "0")) for k in ("x", "y", "width", "height"))
                found.append((group, (right + x, down + y, right + x + w, down + y + h)))
    return found


def texts(root: ElementTree.Element) -> list[tuple[str, Corners]]:
    """Every text with the corners of its ink."""
    found = []
    for text, right, down in placed(root):
        if text.tag == f"{SVG}text" and text.text:
            x, y = right + float(text.get("x", "nan")), down + float(text.get("y", "nan"))
            left, top, end, bottom = ink(text.text, float(text.get("font-size", "0")), text.get("font-weight") == "700")
            if text.get("text-anchor") == "middle":
                spaced = 3.0 * len(text.text) if text.get("letter-spacing") else 0.0
                x -= (end + spaced) / 2
                end += spaced
            found.append((text.text, (x + left, y + top, x + end, y + bottom)))
    return found


def apart(a: Corners, b: Corners) -> bool:
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def nothing_lies_on_anything(body: str) -> None:
    root = ElementTree.fromstring(body)
    wide = float(root.get("width", "nan"))
    for (_, a), (_, b) in combinations(boxes(root), 2):
        assert apart(a, b), (a, b)
    for (one, a), (two, b) in combinations(texts(root), 2):
        assert apart(a, b), (one, two)
    assert all(a[0] >= 0 and a[2] <= wide for _, a in (*boxes(root), *texts(root)))
    for group, (left, top, right, bottom) in boxes(root):
        for said, a in texts(group) if "transform" not in group.attrib else ():
            shift = next(y for g, _, y in placed(root) if g is group)
            assert left <= a[0] and a[2] <= right + 0.5 and top <= a[1] + shift and a[3] + shift <= bottom, said


@pytest.mark.parametrize("case", EVERY)
def test_no_label_lies_on_another_and_every_word_is_in_its_box(case: str) -> None:
    nothing_lies_on_anything(drawn(case))


@pytest.mark.parametrize("case", EVERY)
def test_every_word_is_legible(case: str) -> None:
    root = ElementTree.fromstring(drawn(case))
    assert root.get("width") == ("360" if "narrow" in case else "900")
    assert all(float(text.get("font-size", "0")) >= 11 for text in root.iter(f"{SVG}text"))
    assert boxes(root) or case == "nothing"


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
        if (group.get("class") or "").startswith("card") and group.find(f"{SVG}title") is not None
    }
    assert middle["front axle"][1] < middle["rear axle"][1]
    # The steering box sits left, the front propshaft right of the middle; seen from above with the front up.
    assert middle["steering box"][0] < 450 < middle["front prop"][0]


def test_luminance_tells_new_doubt_and_paper_apart_in_grey_print() -> None:
    from solver.graph.cards import CLASH, DOUBT, INK, NEW, PAPER, RULE, SOFT

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
    assert contrast(INK, DOUBT) >= 4.5 and contrast(INK, RULE) >= 4.5 and contrast(SOFT, PAPER) >= 4.5
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
    assert width(text, 12, bold) >= font(12, bold).getlength(text) / 10


def test_no_letter_is_wider_than_it_is_taken_to_be() -> None:
    for letter in map(chr, range(32, 127)):
        for bold in (False, True):
            assert width(letter, 12, bold) >= font(12, bold).getlength(letter) / 10, letter


HOSTILE = {
    "wide": "W" * 10_000,
    "words": "wheel " * 2_000,
    "markup": '</text><script>alert(1)</script>"]; & <b>' * 9,
    "marks": "a\u0301\u0300\u0302" * 200,
    "right to left": "\u202e\u05d0\u05d1 \u0645\u0631\u062d\u0628\u0627" * 40,
    "other scripts": "\u6f22\u5b57\u30ab\u30ca \U0001f697 " * 60,
    "dots": "\u2026" * 400,
    "empty looking": "\u200b\u2060 \u00ad",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_still_find_room(name: str, named: Callable[[str], Path]) -> None:
    goal = named(HOSTILE[name])
    for parts in (["spring-tall"], ["spring-tall", "axle-big", "wheel-tape"]):
        body = graph(goal, "svg", parts=parts).body
        assert isinstance(body, str)
        nothing_lies_on_anything(body)


# -- nothing is dropped without a word


def note_texts(body: str) -> list[str]:
    root = ElementTree.fromstring(body)
    return [
        " ".join(t.text or "" for t in g.iter(f"{SVG}text")) for g in root.iter(f"{SVG}g") if g.get("class") == "note"
    ]


def test_advice_and_what_to_look_into_stand_as_numbers_in_the_picture_and_words_below() -> None:
    notes = note_texts(drawn("trail"))
    # Springs change the ride height: headlamps and alignment (requirements.yaml: headlamp-aim, steering-alignment).
    assert any("LOOK headlamp aim" in n and "aim the headlamps again" in n for n in notes)
    assert any("LOOK steering alignment" in n and "toe and caster" in n for n in notes)
    coil = next(g for g, _ in boxes(ElementTree.fromstring(drawn("trail"))) if "front coil" in "".join(g.itertext()))
    assert any((t.text or "").startswith("see ") for t in coil.iter(f"{SVG}text"))


@pytest.mark.parametrize("case", ["all", "coil-new-75", "doubtful"])
def test_every_number_in_the_picture_is_told_below(case: str) -> None:
    root = ElementTree.fromstring(drawn(case))
    numbers = [int(n.split()[0]) for n in note_texts(drawn(case))]
    assert numbers == list(range(1, len(numbers) + 1)) and numbers
    seen: set[int] = set()
    for group, _ in boxes(root):
        for text in group.iter(f"{SVG}text"):
            if (text.text or "").startswith("see "):
                for part in (text.text or "").removeprefix("see ").split(", "):
                    first, _, last = part.partition("-")
                    seen |= set(range(int(first), int(last or first) + 1))
    assert seen == set(numbers)


@pytest.mark.parametrize("case", CASES)
def test_every_rule_that_speaks_is_in_the_picture(case: Show) -> None:
    found = showing(chosen(), case)
    said = " ".join("".join(ElementTree.fromstring(drawn(case)).itertext()).split())
    for _, data in found.nodes(data=True):
        if data["type"] == "rule" and data["verdict"] != "fits":
            assert str(data["title"]) in said, data["relation"]


def test_more_labels_than_there_is_room_for_become_numbers(trailer: Path) -> None:
    crowd = graph_of(trailer, parts=["spring=spring-wide"])
    edge = dict(crowd.edges["spring", "axle", "spring-on-axle"])
    many = MOST_LABELS + 5
    for i in range(many - 1):
        crowd.add_edge("spring", "axle", key=f"more{i}", **{**edge, "relation": f"more-{i}"})
    body = svg(crowd)
    nothing_lies_on_anything(body)
    root = ElementTree.fromstring(body)
    labels = [g for g in root.iter(f"{SVG}g") if g.get("class") == "label"]
    assert len(labels) == many and len(note_texts(body)) == 5
    short = [t.text for g in labels for t in g.iter(f"{SVG}text") if (t.text or "").isdigit()]
    assert short == ["1", "2", "3", "4", "5"]


def test_a_name_too_long_for_its_card_is_told_whole_below(named: Callable[[str], Path]) -> None:
    long = "A spring with more to say about itself than any card of the picture could ever hold, " * 2 + "to the end"
    body = graph(named(long), "svg", parts=["spring-tall"]).body
    assert isinstance(body, str)
    assert any("to the end" in note for note in note_texts(body))


def test_several_conflicts_are_numbered() -> None:
    said = "".join(ElementTree.fromstring(drawn("clash")).itertext())
    assert all(f"CLASH {n}" in said for n in (1, 2, 3)) and "3 separate conflicts" in said


def test_one_conflict_of_several_can_be_drawn_alone() -> None:
    problem = problem_of("impossible")
    conflicts = [[problem.named(name) for name in names] for names in REFUSALS["impossible"]]
    found = refused(problem, conflicts, 2, demo_goal())
    assert found.conflicts == (tuple(conflicts[1]),) and found.title.endswith("conflict 2 of 2")


def test_the_summary_counts_what_the_graph_holds() -> None:
    found = chosen()
    rules = {n: d for n, d in found.nodes(data=True) if d["type"] == "rule"}
    edges = [d for _, _, d in found.edges(data=True) if d["kind"] == "mate"]
    clashes = sum(d["severity"] == "must" and d["verdict"] == "does not fit" for d in (*rules.values(), *edges))
    looks = sum(d["severity"] == "check" and d["verdict"] != "fits" for d in rules.values())
    said = picked(found).summary
    assert f"{clashes} clashes" in said and f"{looks} to look into" in said


@pytest.mark.parametrize(
    ("numbers", "text"), [([], ""), ([4], "4"), ([1, 2, 3], "1-3"), ([9, 1, 2, 5, 4, 4], "1-2, 4-5, 9")]
)
def test_numbers_as_one_writes_them(numbers: list[int], text: str) -> None:
    assert ranged(numbers) == text


def test_flowed_text_loses_no_letter() -> None:
    text = "a spring " + "W" * 300 + " and the rest"
    lines = flowed(text, 11, 120)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(width(line, 11) <= 120 for line in lines)


# -- PNG


def test_a_png_shows_the_same_with_letters_and_in_grey() -> None:
    pytest.importorskip("resvg_py", reason="the renderer of the extra `picture` is not installed")
    import io

    from PIL import Image

    body = drawn("conflict")
    picture = Image.open(io.BytesIO(png(body)))
    root = ElementTree.fromstring(body)
    assert picture.size == (1800, round(2 * float(root.get("height", "nan"))))
    group, corners = next((g, c) for g, c in boxes(root) if "card new clash" in (g.get("class") or ""))
    grey = picture.convert("L").crop(tuple(round(2 * x) for x in corners))  # type: ignore[arg-type]
    # The card is dark with light letters on it: both are there, and far apart in grey.
    counts = grey.histogram()
    dark, light = sum(counts[:90]), sum(counts[230:])
    assert dark > 0.4 * sum(counts) and light > 0.03 * sum(counts), group.get("class")


def test_a_png_without_its_library_or_without_a_font_is_refused_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys
    from types import SimpleNamespace

    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(SwapwrightError, match="pip install"):
        png("<svg/>")
    monkeypatch.setitem(sys.modules, "resvg_py", SimpleNamespace(svg_to_bytes=lambda **_: b"blank"))
    with pytest.raises(SwapwrightError, match="font"):
        png("<svg/>")


@pytest.mark.parametrize("system", [True, False])
def test_the_fonts_the_picture_names_will_do_and_so_will_those_of_the_plots(
    monkeypatch: pytest.MonkeyPatch, system: bool
) -> None:
    """A machine that has nothing but the fonts the message names, and one without any but those of the plots."""
    import sys
    from types import SimpleNamespace

    known: list[object] = []

    def renders(svg_string: str, font_dirs: list[str], zoom: float = 1.0) -> bytes:
        """Letters words in DejaVu Sans alone, as the renderer does where no other font is there."""
        known[:] = [*(["system"] if system else []), *font_dirs]
        return b"lettered" if known and "DejaVu Sans" in svg_string else b"blank"

    monkeypatch.setitem(sys.modules, "resvg_py", SimpleNamespace(svg_to_bytes=renders))
    assert png(drawn("conflict")) == b"lettered"
    folders = [Path(str(f)) for f in known if f != "system"]
    assert all((f / "DejaVuSans.ttf").is_file() for f in folders) and bool(folders) is not system
