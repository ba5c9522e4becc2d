"""The page as HTML: sound, offline, small, and inert whatever the names on it."""

from __future__ import annotations

import re
from base64 import b64encode
from collections import Counter
from hashlib import sha256
from pathlib import Path
from xml.etree.ElementTree import Element

import html5lib
import pytest

from solver.page.markup import page_html
from tests.solver.page.pages import DOUBTFUL, HOSTILE, named_trailer, page_with, refused_page

SVG = "{http://www.w3.org/2000/svg}"
ALLOWED = {
    *re.findall(
        r"\w+",
        "html head meta title style body header main footer nav section article figure figcaption details summary dl "
        "div dt dd p h1 h2 h3 ul ol li a b strong em small span bdi label input button script",
    ),
    *(f"{SVG}{tag}" for tag in ("svg", "g", "rect", "path", "text", "title", "desc")),
}


def parsed(html: str) -> Element:
    """The page as browsers read it; strict: the first breach of the standard is an error."""
    root: Element = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)
    return root


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    refused = tmp_path_factory.mktemp("refused") / "trailer"
    return {
        "plan": page_html(page_with(("spring-tall",))),
        "doubtful": page_html(page_with(DOUBTFUL)),
        "broken": page_html(page_with(("spring-wide",))),
        "refused": page_html(refused_page(refused)),
    }


KINDS = ("plan", "doubtful", "broken", "refused")


def check_offline_and_inert(html: str) -> Element:
    root = parsed(html)
    for element in root.iter():
        assert element.tag in ALLOWED, element.tag
        for key, value in element.attrib.items():
            assert not key.lower().startswith("on") and key not in ("src", "srcdoc", "style", "action", "formaction")
            assert "href" not in key or re.fullmatch(r"#[a-z]+", value), value
    (script,) = root.iter("script")
    (style,) = root.iter("style")
    policy = next(m.get("content") or "" for m in root.iter("meta") if m.get("http-equiv") == "Content-Security-Policy")
    assert policy.startswith("default-src 'none';") and "unsafe" not in policy
    for element, name in ((style, "style-src"), (script, "script-src")):
        digest = b64encode(sha256((element.text or "").encode()).digest()).decode()
        # The one that may act is the one that is there.
        assert f"{name} 'sha256-{digest}'" in policy
    assert "url(" not in (style.text or "") and "@import" not in (style.text or "")
    return root


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_is_sound_html_that_needs_nothing_from_elsewhere(kind: str, pages: dict[str, str]) -> None:
    root = check_offline_and_inert(pages[kind])
    assert root.get("lang") == "en" and len(list(root.iter("h1"))) == 1 and (root.find("head/title")) is not None
    assert not re.search(r"https?://", pages[kind].replace("http://www.w3.org/2000/svg", ""))


@pytest.mark.parametrize("kind", KINDS)
def test_every_link_leads_somewhere_and_every_id_is_its_own(kind: str, pages: dict[str, str]) -> None:
    root = parsed(pages[kind])
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    links = [(a.get("href") or "").removeprefix("#") for a in root.iter("a")]
    assert links and set(links) <= set(ids)


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_has_its_label_and_every_picture_its_words(kind: str, pages: dict[str, str]) -> None:
    root = parsed(pages[kind])
    inside = {field for label in root.iter("label") for field in label.iter("input")}
    assert inside == set(root.iter("input"))
    for figure in root.iter("figure"):
        (svg,) = figure.iter(f"{SVG}svg")
        assert svg.get("role") == "img" and (svg.findtext(f"{SVG}title") or "").strip()
        assert len(list(figure.iter("li"))) >= 2
    assert len(list(root.iter("figure"))) >= 1


def test_without_a_script_only_its_own_lines_are_hidden(pages: dict[str, str]) -> None:
    hidden = [e for e in parsed(pages["doubtful"]).iter() if "hidden" in e.attrib]
    assert {e.get("class") or e.get("id") for e in hidden} == {"progress", "memory"}


def shape(root: Element) -> Counter[str]:
    """How many elements of each kind there are outside pictures, whose cards differ with the width of names."""
    return Counter(str(e.tag) for e in root.iter() if not str(e.tag).startswith(SVG))


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_names_are_only_text(kind: str, tmp_path: Path) -> None:
    harmless = parsed(page_html(page_with(DOUBTFUL, named_trailer(tmp_path / "harmless", "Plain"))))
    html = page_html(page_with(DOUBTFUL, named_trailer(tmp_path / "hostile", HOSTILE[kind])))
    root = check_offline_and_inert(html)
    # The picture's words may need another line for a long name.
    found, wanted = shape(root), shape(harmless)
    extra = found["li"] - wanted["li"]
    assert extra >= 0 and found - Counter({"li": extra, "bdi": extra}) == wanted
    assert len(html) < 300_000 and not any(c in html for c in "\u202e\u2066\ufeff\u2028\x07")


def test_hostile_names_are_only_text_in_a_refusal(tmp_path: Path) -> None:
    for i, kind in enumerate(("closing", "attribute", "long")):
        folder = named_trailer(tmp_path / str(i), HOSTILE[kind])
        check_offline_and_inert(page_html(refused_page(folder)))


# -- contrast


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    """WCAG 2.2, contrast ratio."""
    one, two = sorted((luminance(a), luminance(b)), reverse=True)
    return (one + 0.05) / (two + 0.05)


def test_contrast_by_the_published_formula() -> None:
    # Black on white is 21 to 1 by definition; #767676 on white the well-known 4.54.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    style = (Path(__file__).parents[3] / "solver" / "page" / "page.css").read_text("utf-8")
    colour = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", style))
    on = {
        "paper": ("ink", "soft", "deep", "warn", "good"),
        "shade": ("ink", "soft", "good"),
        "doubt": ("ink",),
        "warn-paper": ("ink", "soft", "warn"),
        "deep": ("paper",),
        "warn": ("paper",),
        "ink": ("paper",),
    }
    # A page for the rain: 7 to 1 (1.4.6, the enhanced level) wherever there is text.
    assert all(contrast(colour[a], colour[b]) >= 7 for b, some in on.items() for a in some)
    # 3 to 1 for the edges of what can be tapped (1.4.11).
    assert contrast(colour["line"], colour["paper"]) >= 3 and contrast(colour["focus"], colour["paper"]) >= 3
