"""What the graph holds."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from shared.faults import BadInput
from solver import demo_goal, plan
from solver.graph import clashes_in, graph, graph_of, showing
from solver.graph.model import BODY, Graph
from solver.report import plan_text
from solver.words import CLOSING


def test_every_attribute_is_a_plain_type(trailer: Path) -> None:
    found = graph_of(trailer)
    values = [v for _, data in found.nodes(data=True) for v in data.values()]
    values += [v for _, _, data in found.edges(data=True) for v in data.values()]
    values += list(found.graph.values())
    assert {type(v) for v in values} <= {str, int, float, bool}


def test_parts_carry_price_status_and_interfaces_with_units(trailer: Path) -> None:
    spring = graph_of(trailer, parts=["spring-tall"]).nodes["spring"]
    # tests/data/trailer/catalogue.yaml and the layout's positions, by hand.
    assert (spring["part"], spring["name"], spring["status"]) == ("spring-tall", "Tall spring", "new")
    assert spring["count"] == 2 and spring["left"] == 0.5
    assert (spring["price.lo"], spring["price.hi"]) == (40.0, 40.0)
    assert spring["axle.spacing"] == "1000.0 mm" and spring["axle.spacing.lo"] == pytest.approx(1.0)
    assert spring["property.rate"] == "20.0 N/mm" and spring["property.rate.hi"] == pytest.approx(20e3)
    # Changing the springs takes 2 h and putting the trailer on stands half an hour.
    assert spring["hours.lo"] == pytest.approx(2.5 * 3600)


def test_a_mate_carries_both_sides_and_the_room_between(trailer: Path) -> None:
    found = graph_of(trailer, parts=["spring-stiff"])
    edge = found.edges["spring", "axle", "spring-on-axle"]
    # 1002 mm on 1000 mm, within 3 mm: 1 mm is left.
    assert edge["verdict"] == "fits" and edge["margin"] == "1.0 mm left"
    assert edge["margin.si"] == pytest.approx(0.001)
    assert {edge["left.lo"], edge["right.lo"]} == {1.002, 1.0}
    assert edge["kind"] == "mate" and edge["says"] == "bushes take 3 mm without edge load"


def test_a_clash_says_by_how_much(trailer: Path) -> None:
    found = graph_of(trailer, parts=["spring=spring-wide"])
    edge = found.edges["spring", "axle", "spring-on-axle"]
    # 1100 mm on 1000 mm, within 3 mm: 97 mm too far apart.
    assert edge["verdict"] == "does not fit" and edge["gap"] == "97.0 mm"
    assert edge["margin.si"] == pytest.approx(-0.097)
    assert found.nodes["spring"]["standing"] == found.nodes["axle"]["standing"] == "clash"
    assert found.nodes["wheel"]["standing"] == "sound"
    assert clashes_in(found) == 1


def test_a_doubt_that_only_comes_from_hearsay_is_told_as_one(trailer: Path, tmp_path: Path) -> None:
    """The old axle's 1000 mm are measured, the stiff spring's 1002 mm and its lift only claimed."""
    goal = shutil.copytree(trailer.parent, tmp_path / "t") / "goal.yaml"
    catalogue = goal.with_name("catalogue.yaml")
    text, stiff = catalogue.read_text("utf-8"), 'name: Stiff spring, kind: trailer_spring, price: "30", evidence: '
    assert stiff + "measured" in text
    catalogue.write_text(text.replace(stiff + "measured", stiff + "claimed"), "utf-8")
    goal.write_text(goal.read_text("utf-8") + "trust: published\n", "utf-8")
    found = graph_of(goal, parts=["spring-stiff"])
    edge = found.edges["spring", "axle", "spring-on-axle"]
    assert (edge["verdict"], edge["margin"]) == ("fits if checked", "1.0 mm left")
    assert edge["sides"] == "spacing 1002.0 mm (only claimed) against 1000.0 mm"
    assert "spacing 1002.0 mm (only claimed)" in str(graph(goal, "svg", parts=["spring-stiff"]).body)
    assert found.nodes["rule:X2"]["sides"] == "bed lift 39.3 to 47.4 mm (only claimed), at most 60.0 mm"
    goal.write_text(goal.read_text("utf-8").replace("published", "claimed"), "utf-8")
    assert "only" not in graph_of(goal, parts=["spring-stiff"]).edges["spring", "axle", "spring-on-axle"]["sides"]


def test_a_limit_that_is_straddled_is_told_as_a_doubt(trailer: Path) -> None:
    """By hand: a circle of 114.3 mm within 0.1 mm, read as 113 to 115 mm, may be 1.2 mm off; it is no refusal."""
    found = graph_of(trailer, parts=["axle-big", "spring-wide", "wheel-tape"])
    edge = found.edges["hub", "wheel", "wheel-on-hub"]
    assert (edge["verdict"], edge["margin"]) == ("fits if checked", "perhaps up to 1.2 mm off")
    assert edge["margin.si"] == pytest.approx(-0.0012) and "gap" not in edge
    for to in ("svg", "dot", "mermaid"):
        drawn = str(graph(trailer, to, parts=["spring-stiff", "axle-big", "wheel-tape"]).body)
        assert "perhaps up to 1.2 mm off" in drawn and "()" not in drawn
        assert " 1.2 mm off" not in drawn.replace("perhaps up to 1.2 mm off", "")


def test_an_assembly_brings_its_parts(trailer: Path) -> None:
    found = graph_of(trailer, parts=["axle-big"])
    assert found.nodes["hub"]["part"] == "hub-big@axle-big" and found.nodes["hub"]["comes_with"] == "axle-big"
    assert found.has_edge("axle", "hub", "hub comes with axle")
    # Five studs under the old wheel's four holes; the old spring's perches are 100 mm too near.
    assert showing(found, "conflict").nodes.keys() >= {"hub", "wheel", "axle", "spring"}


def test_doubt_is_told_from_clash(trailer: Path) -> None:
    found = graph_of(trailer, parts=["hub-big", "wheel-tape"])
    edge = found.edges["hub", "wheel", "wheel-on-hub"]
    # 114 +/- 1 mm may or may not be 114.3 mm to a tenth.
    assert edge["verdict"] == "fits if checked" and found.nodes["wheel"]["standing"] == "doubt"
    assert set(showing(found, "doubtful").nodes) == {"hub", "wheel"}


def test_changed_shows_what_is_new_and_nothing_that_stays(trailer: Path) -> None:
    found = showing(graph_of(trailer, parts=["spring-tall"]), "changed")
    parts = {n for n, d in found.nodes(data=True) if d["type"] == "part"}
    assert parts == {"spring"} and BODY not in parts


def test_a_plans_file_gives_the_same_graph_as_its_goal(trailer: Path, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan(trailer, most=2).model_dump_json(), "utf-8")
    for number in (1, 2):
        assert graph(file, "json", build=number) == graph(trailer, "json", build=number)
    with pytest.raises(BadInput, match="build 3"):
        graph(file, "json", build=3)


def test_the_same_input_gives_the_same_bytes(trailer: Path) -> None:
    for to in ("graphml", "dot", "mermaid", "json", "svg"):
        assert graph(trailer, to).body == graph(trailer, to).body


def refused(trailer: Path, tmp_path: Path) -> Path:
    goal = tmp_path / "goal.yaml"
    text = trailer.read_text("utf-8") + "use: {spring: spring-tall, axle: axle-big}\n"
    goal.write_text(text.replace("name: Higher bed", "name: Both at once"), "utf-8")
    for name in ("vehicle.yaml", "catalogue.yaml"):
        (tmp_path / name).write_text((trailer.parent / name).read_text("utf-8"), "utf-8")
    layout = tmp_path / "layout"
    layout.mkdir()
    for file in (trailer.parent / "layout").iterdir():
        (layout / file.name).write_text(file.read_text("utf-8"), "utf-8")
    return goal


def test_a_refusal_is_drawn_as_the_clash_and_the_lines_that_pull_on_it(trailer: Path, tmp_path: Path) -> None:
    found = showing(graph_of(refused(trailer, tmp_path)), "conflict")
    # The tall spring sits at 1000 mm, the big axle's perches at 1100 mm; the goal asks for both.
    assert set(found.nodes) == {"spring", "axle", "rule:use at spring", "rule:use at axle"}
    edge = found.edges["spring", "axle", "spring-on-axle"]
    assert edge["verdict"] == "does not fit" and edge["gap"] == "97.0 mm" and edge["conflict"] == 1
    assert found.nodes["rule:use at axle"]["right"] == "wanted axle-big"


def words_of(found: Graph, relation: str) -> set[str]:
    """What the picture's things say of a relation: both sides, by how much, and what else the text says."""
    things = [data for _, data in found.nodes(data=True)] + [data for _, _, data in found.edges(data=True)]
    keys = ("left", "right", "gap", "otherwise")
    return {
        " ".join(str(d.get(k, "")) for k in keys) for d in things if d.get("relation") == relation and d["conflict"]
    }


@pytest.mark.parametrize("goal", ["clash", "impossible"])
def test_a_member_of_a_conflict_has_the_numbers_of_its_text(goal: str, tmp_path: Path) -> None:
    """Also where it holds on the build drawn, which breaks another member: the text tells of a build each."""
    document = plan(demo_goal(goal))
    (tmp_path / "plan.json").write_text(document.model_dump_json())
    looked_at = 0
    for source in (demo_goal(goal), tmp_path / "plan.json"):
        for number, conflict in enumerate(document.conflicts, 1):
            found = graph_of(source, build=number)
            for member in conflict.members:
                if member.kind in ("rule", "limit") and member.reasons:
                    reason = member.reasons[0]
                    said = [w for name in member.relations for w in words_of(found, name)]
                    assert said, member.name
                    assert all(reason.left.value in w and (reason.gap or "") in w for w in said), (member.name, said)
                    looked_at += 1
    assert looked_at >= 8


@pytest.mark.parametrize(
    ("text", "says"),
    [("nothing-like-it", "unknown-part"), ("nowhere=axle-big", "unknown-position"), ("hub=axle-big", "wrong-place")],
)
def test_what_cannot_be_put_in_is_named(trailer: Path, text: str, says: str) -> None:
    with pytest.raises(BadInput) as caught:
        graph(trailer, "json", parts=[text])
    assert [f.code for f in caught.value.faults] == [says]


@pytest.mark.parametrize("content", ["", "{", "[]", '{"format": "swapwright plan", "version": 9}', "\x00"])
def test_a_file_that_is_no_plan_is_refused_in_words(tmp_path: Path, content: str) -> None:
    file = tmp_path / "plan.json"
    file.write_text(content, "utf-8")
    with pytest.raises(BadInput):
        graph(file, "json")


def test_the_package_can_be_called_like_the_function(trailer: Path) -> None:
    import solver

    assert solver.graph(trailer, "json") == graph(trailer, "json")


@pytest.mark.parametrize("around", [None, "spring-tall"])
def test_every_format_says_what_a_build_is_not_called(trailer: Path, around: str | None) -> None:
    """The same words as the text ends with; broken over lines where a format draws them."""
    words = set(CLOSING.replace(";", " ").split())
    for to in ("graphml", "dot", "mermaid", "json", "svg"):
        body = str(graph(trailer, to, around=around).body)
        assert words <= set(re.split(r"[\s;\"<>]+|\\n|#59;", body)), to
    drawn = str(graph(trailer, "svg", around=around).body)
    assert "".join(re.findall(r"<text[^>]*>([^<]*)</text>", drawn)).replace(" ", "").endswith(CLOSING.replace(" ", ""))
    assert 'label="swapwright says' in str(graph(trailer, "dot", around=around).body)
    assert plan_text(plan(trailer)).rstrip().endswith(CLOSING)
