"""The exported graphs, read back by readers that are not ours.

networkx reads GraphML and node-link JSON; Graphviz's ``dot`` reads DOT; Mermaid's own parser (npm, in
``tests/graph_readers``) reads Mermaid; the standard library's XML parser reads SVG.  Readers that are not on the
machine are passed over with a word.
"""

from __future__ import annotations

import io
import json
import re
import shutil
import subprocess
import unicodedata
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import networkx as nx
import pytest

from solver import plan
from solver.demo import demo_goal
from solver.graph import graph_of, write
from solver.graph.model import Graph

TRAILER = Path(__file__).parents[1] / "data" / "trailer"
READERS = Path(__file__).parents[1] / "graph_readers"
CHOSEN = ["rear-shafts-31", "pitman-38", "wheel-127", "coil-hearsay"]
TARGET = "Tall spring"
HOSTILE = {
    "quotes": 'a "double" and \'single\' \\" back\\',
    "angles": "</text><script>alert(1)</script><b>&lt;&amp;",
    "cdata": "]]><!--><?xml?>",
    "backticks": "`code` ```fence``` ${x}",
    "newlines": "one\ntwo\r\nthree\u2028four\tfive",
    "right to left": "abc\u202edef\u2066ghi\u200fjkl\ufeff",
    "control": "bell\x07 escape\x1b[31m",
    "long": "x" * 10_000,
    "mermaid": 'end"]; click n0 "javascript:alert(1)" %% note #quot; subgraph |x| --> [(y)] {{z}}',
    "dot": '\\N \\G \\l "]; node [label="x"]; } graph { <b>&nbsp;',
    "emoji": "spring \U0001f697 \u00e9 \u6f22",
}


@pytest.fixture(scope="module")
def demo() -> Graph:
    return graph_of(demo_goal(), parts=CHOSEN)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Graph]:
    """The trailer with a hostile name of a kind on a part, a donor and a note."""
    return cache(lambda kind: hostile_trailer(tmp_path_factory.mktemp("hostile"), HOSTILE[kind]))


def hostile_trailer(folder: Path, name: str) -> Graph:
    shutil.copytree(TRAILER, folder / "trailer")
    file = folder / "trailer" / "catalogue.yaml"
    text = file.read_text("utf-8")
    quoted = json.dumps(name).replace("\\ud83d\\ude97", "\U0001f697")
    more = f"name: {quoted}, note: {quoted}, donors: [{{make: {quoted}, model: {quoted}}}]"
    assert f"name: {TARGET}" in text
    file.write_text(text.replace(f"name: {TARGET}", more), "utf-8")
    return graph_of(folder / "trailer" / "goal.yaml", parts=["spring-tall"])


def visible(text: str) -> str:
    """A name without what cannot be seen, on one line, as long as a name may be."""
    kept = "".join(" " if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c for c in text)
    one = " ".join("".join(c for c in kept if unicodedata.category(c) != "Cf").split())
    return one if len(one) <= 300 else one[:299] + "\u2026"


def text_of(graph: Graph, to: str) -> str:
    body = write(graph, to)  # type: ignore[arg-type]
    assert isinstance(body, str)
    return body


def same(one: Graph, two: Any) -> None:
    """Nodes, edges and every attribute of the same type."""
    assert dict(one.nodes(data=True)) == dict(two.nodes(data=True))
    for u, v, key, data in one.edges(keys=True, data=True):
        assert two.edges[u, v, key] == data
    assert one.number_of_edges() == two.number_of_edges()
    for _, data in one.nodes(data=True):
        assert all(isinstance(v, (str, int, float, bool)) for v in data.values())


# -- networkx


def test_graphml_opens_with_every_attribute(demo: Graph) -> None:
    read = nx.read_graphml(io.BytesIO(text_of(demo, "graphml").encode()), force_multigraph=True)
    same(demo, read)
    assert read.nodes["wheel"]["face.bolt_circle"] == "127.0 mm"


def test_node_link_json_opens_with_every_attribute(demo: Graph) -> None:
    document = json.loads(text_of(demo, "json"))
    assert (document["format"], document["version"]) == ("swapwright graph", 1)
    read = nx.node_link_graph(document, edges="edges")
    same(demo, read)
    assert read.graph["title"] == demo.graph["title"]


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_names_survive_graphml_and_json(kind: str, hostile: Callable[[str], Graph]) -> None:
    found = hostile(kind)
    assert found.nodes["spring"]["name"] == visible(HOSTILE[kind])
    same(found, nx.read_graphml(io.BytesIO(text_of(found, "graphml").encode()), force_multigraph=True))
    same(found, nx.node_link_graph(json.loads(text_of(found, "json")), edges="edges"))


def test_the_plans_json_and_the_graph_in_a_foreign_reader_say_the_same(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan(demo_goal().parent / "goal-tight.yaml", 1).model_dump_json(), "utf-8")
    written = json.loads(file.read_text("utf-8"))
    build = written["builds"][0]
    body = text_of(graph_of(file), "graphml")
    read = nx.read_graphml(io.BytesIO(body.encode()), force_multigraph=True)
    assert (read.graph["goal"], read.graph["vehicle"], read.graph["layout"]) == (
        written["goal"],
        written["vehicle"],
        written["layout"],
    )
    assert read.graph["price"] == build["price"]["text"] and read.graph["hours.hi"] == build["hours"]["hi"]
    assert read.graph["skill"] == build["skill"] and read.graph["donors"] == "; ".join(build["donors"])
    assert {n for n, d in read.nodes(data=True) if d["type"] == "part"} == {p["position"] for p in build["parts"]}
    for part in build["parts"]:
        node = read.nodes[part["position"]]
        # The graph tells two kinds of new apart.
        assert part["status"] == {"altered": "new", "adapter": "new"}.get(node["status"], node["status"])
        assert node["part"] == (part["id"] or "") and node["count"] == part["count"]
        if part["id"] is None:
            continue
        assert {k: node[k] for k in ("name", "buy", "evidence", "note")} == {
            k: part[k] for k in ("name", "buy", "evidence", "note")
        }
        assert (node["price"], node["price.lo"], node["price.hi"]) == tuple(
            part["price"][k] for k in ("text", "lo", "hi")
        )
        assert node["comes_with"] == (part["comes_with"] or "") and node["altered_by"] == "; ".join(part["altered"])
        if part["status"] == "new":
            assert node["donor"] == "; ".join(part["donors"]) and node["cautions"] == "; ".join(part["cautions"])
    rules = {d["relation"]: d for _, d in read.nodes(data=True) if d["type"] == "rule"}
    rules |= {d["relation"]: d for _, _, d in read.edges(data=True) if d["kind"] in ("mate", "belonging")}
    reasons = [*build["checks"], *build["advice"], *build["looks"]]
    assert reasons
    for reason in reasons:
        found = rules[reason["relation"]]
        assert {k: found[k] for k in ("severity", "verdict", "says")} == {
            k: reason[k] for k in ("severity", "verdict", "says")
        }
        assert found["reference"] == reason["source"] and found["needs"] == "; ".join(reason["needs"])
    # And the other way: whatever the plan does not name as doubtful, the graph calls a fit.
    named = {r["relation"] for r in reasons}
    assert all(d["verdict"] == "fits" for name, d in rules.items() if name not in named)


# -- Graphviz

needs_dot = pytest.mark.skipif(shutil.which("dot") is None, reason="Graphviz's dot is not on this machine")


def dot_reads(text: str) -> dict[str, Any]:
    # dot_json keeps every attribute and does not lay anything out.
    done = subprocess.run(["dot", "-Kneato", "-Tdot_json"], input=text.encode(), capture_output=True, timeout=60)
    assert done.returncode == 0, done.stderr.decode()
    assert not done.stderr, done.stderr.decode()
    read: dict[str, Any] = json.loads(done.stdout)
    return read


def plain_text(value: object) -> str:
    """How DOT writes a value: everything is text there."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value).replace("\\", "\u29f5")


@needs_dot
def test_dot_opens_with_every_attribute(demo: Graph) -> None:
    read = dot_reads(text_of(demo, "dot"))
    nodes = {o["name"]: o for o in read["objects"]}
    assert set(nodes) == set(demo.nodes) and len(read["edges"]) == demo.number_of_edges()
    for node, data in demo.nodes(data=True):
        # An attribute that is empty is none at all to DOT.
        assert all(nodes[node].get(f"sw_{k}", "") == plain_text(v) for k, v in data.items())
    edges = {e["sw_key"]: e for e in read["edges"]}
    for _, _, key, data in demo.edges(keys=True, data=True):
        assert all(edges[key].get(f"sw_{k}", "") == plain_text(v) for k, v in data.items())


@needs_dot
@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_names_are_only_names_to_dot(kind: str, hostile: Callable[[str], Graph]) -> None:
    found = hostile(kind)
    read = dot_reads(text_of(found, "dot"))
    nodes = {o["name"]: o for o in read["objects"]}
    assert set(nodes) == set(found.nodes)
    assert nodes["spring"]["sw_name"] == plain_text(found.nodes["spring"]["name"])
    drawn = subprocess.run(["dot", "-Tsvg"], input=text_of(found, "dot").encode(), capture_output=True, timeout=60)
    root = ElementTree.fromstring(drawn.stdout)
    assert not list(root.iter("{http://www.w3.org/2000/svg}script"))
    shown = "".join("".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text"))
    assert visible(HOSTILE[kind])[:20].replace(" ", "") in shown.replace("\xa0", " ").replace(" ", "")


# -- Mermaid

needs_mermaid = pytest.mark.skipif(
    shutil.which("node") is None or not (READERS / "node_modules" / "mermaid").is_dir(),
    reason="Mermaid's parser is not on this machine: npm install in tests/graph_readers",
)


def mermaid_reads(text: str) -> dict[str, Any]:
    done = subprocess.run(
        ["node", "read_mermaid.mjs"], input=text.encode(), capture_output=True, timeout=120, cwd=READERS
    )
    assert done.returncode == 0, done.stderr.decode()[:2000]
    read: dict[str, Any] = json.loads(done.stdout)
    return read


def decoded(text: str) -> str:
    """Mermaid's parser keeps number escapes in a form of its own until it draws; put them back."""
    return re.sub("\ufb02\u00b0\u00b0(\\d+)\u00b6\u00df", lambda m: chr(int(m[1])), text)


@needs_mermaid
def test_mermaid_opens_with_every_part_that_is_there(demo: Graph) -> None:
    read = mermaid_reads(text_of(demo, "mermaid"))
    assert read["diagramType"].startswith("flowchart")
    parts = [d for _, d in demo.nodes(data=True) if d["type"] == "part" and d["status"] != "empty"]
    texts = [decoded(n["text"]) for n in read["nodes"]]
    for data in parts:
        assert any(str(data["title"]) in text and str(data["name"])[:50] in text for text in texts)
    assert any(decoded(e["text"] or "").startswith("CLASH wheel-on-front-hub") for e in read["edges"])


@needs_mermaid
def test_hostile_names_are_only_names_to_mermaid(hostile: Callable[[str], Graph]) -> None:
    # One start of the parser for all names, as one chart: starting it takes seconds.
    lines, wanted = ["flowchart TB"], []
    for i, (kind, name) in enumerate(HOSTILE.items()):
        line = next(x for x in text_of(hostile(kind), "mermaid").splitlines() if "NEW spring" in x)
        lines.append(line.replace(line.split("[")[0].strip(), f"m{i}", 1).split(":::")[0])
        wanted.append(visible(name)[:50])
    read = mermaid_reads("\n".join(lines) + "\n")
    assert [n["id"] for n in read["nodes"]] == [f"m{i}" for i in range(len(HOSTILE))]
    for node, name in zip(read["nodes"], wanted, strict=True):
        assert name in decoded(node["text"]).replace("<br/>", " ")
        assert "<script" not in node["text"] and "`" not in node["text"]


# -- XML


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_names_are_only_text_in_the_picture(kind: str, hostile: Callable[[str], Graph]) -> None:
    body = text_of(hostile(kind), "svg")
    root = ElementTree.fromstring(body)
    allowed = {"svg", "g", "rect", "path", "text", "title", "desc"}
    assert {e.tag.removeprefix("{http://www.w3.org/2000/svg}") for e in root.iter()} <= allowed
    for element in root.iter():
        assert not any(k.startswith("on") or "href" in k for k in element.attrib)
    shown = " ".join("".join(e.itertext()) for e in root.iter("{http://www.w3.org/2000/svg}text"))
    assert visible(HOSTILE[kind])[:10].strip() in shown
    assert not any(unicodedata.category(c) in ("Cf", "Cs") for c in body)


def test_the_demos_picture_is_sound_xml_without_anything_active(demo: Graph) -> None:
    body = text_of(demo, "svg")
    ElementTree.fromstring(body)
    assert "<script" not in body and "href" not in body and "http" not in body.replace("http://www.w3.org/2000/svg", "")
