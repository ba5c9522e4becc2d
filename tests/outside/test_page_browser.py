"""The page in a real browser: fits a phone, taps are large, nothing is fetched, no name is run, ticks are kept.

The browser is Debian's ``chromium-headless-shell``, which ``.ci/run`` installs; without one these are passed over.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from solver.page.markup import page_html
from tests.outside.browser import PROGRAM, Browser, opened
from tests.solver.page.pages import DOUBTFUL, HOSTILE, named_trailer, page_with, refused_page

pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
KINDS = ("plan", "doubtful", "refused", *HOSTILE)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("pages")
    pages = {"plan": page_with(("spring-tall",)), "doubtful": page_with(DOUBTFUL)}
    pages["refused"] = refused_page(found / "refused-trailer")
    for kind, name in HOSTILE.items():
        pages[kind] = page_with(DOUBTFUL, named_trailer(found / "named" / kind.replace(" ", "-"), name))
    for kind, page in pages.items():
        (found / f"{kind.replace(' ', '-')}.html").write_text(page_html(page), "utf-8")
    return found


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with opened(tmp_path_factory.mktemp("profile")) as found:
        yield found


def address(folder: Path, kind: str) -> str:
    return (folder / f"{kind.replace(' ', '-')}.html").as_uri()


OPEN_ALL = "document.querySelectorAll('details').forEach(d => d.open = true)"
SMALL_TAPS = """
[...document.querySelectorAll('a, button, summary, label.tick, input[type=text]')].filter(e => e.checkVisibility())
  .map(e => [e.tagName + ' ' + e.textContent.trim().slice(0, 30), e.getBoundingClientRect()])
  .filter(([_, r]) => r.width < 44 || r.height < 44).map(([name, r]) => [name, r.width, r.height])
"""
OUTSIDE = """
[...document.querySelectorAll('body *')].filter(e => e.checkVisibility() && !e.closest('svg'))
  .filter(e => e.getBoundingClientRect().right > innerWidth + 0.5 || e.getBoundingClientRect().left < -0.5)
  .map(e => e.tagName + ' ' + e.textContent.trim().slice(0, 30))
"""
# WCAG 2.2: relative luminance and contrast of every element that has text of its own, against what lies behind it.
PALE = """
(() => {
  const light = c => { const l = c.map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * l[0] + 0.7152 * l[1] + 0.0722 * l[2]; };
  const read = text => (text.match(/[\\d.]+/g) || []).map(Number);
  const found = [];
  for (const e of document.querySelectorAll('body *')) {
    if (!e.checkVisibility() || e.closest('svg') || ![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
      continue;
    let behind = e, back = [0, 0, 0, 0];
    while (behind && (back.length === 4 && back[3] === 0)) {
      back = read(getComputedStyle(behind).backgroundColor); behind = behind.parentElement; }
    if (back.length === 4 && back[3] === 0) back = [255, 255, 255];
    const [a, b] = [light(read(getComputedStyle(e).color).slice(0, 3)), light(back.slice(0, 3))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    if (ratio < 4.5) found.push([e.tagName, e.textContent.trim().slice(0, 30), ratio]);
  }
  return found;
})()
"""


def said(browser: Browser, *methods: str) -> list[Any]:
    return [e["params"] for e in browser.events if e.get("method") in methods]


@pytest.mark.parametrize("kind", KINDS)
def test_a_phone_shows_it_whole_and_nothing_runs_or_is_fetched(kind: str, browser: Browser, folder: Path) -> None:
    url = address(folder, kind)
    browser.open(url, 360)
    browser.ask(OPEN_ALL)
    assert browser.ask("[innerWidth, document.documentElement.scrollWidth]") == [360, 360]
    assert browser.ask(OUTSIDE) == []
    assert browser.ask(SMALL_TAPS) == []
    assert browser.ask("typeof window.hit") == "undefined"
    assert browser.asked_for() == [url]
    assert said(browser, "Log.entryAdded", "Runtime.exceptionThrown", "Page.javascriptDialogOpening") == []
    if kind in ("plan", "doubtful", "refused"):
        assert browser.ask(PALE) == []
        browser.open(url, 320)
        assert browser.ask("document.documentElement.scrollWidth") == 320


def test_the_policy_stops_what_is_not_ours(browser: Browser, folder: Path) -> None:
    browser.open(address(folder, "plan"))
    browser.ask(
        "document.body.append(Object.assign(document.createElement('script'), {textContent: 'window.hit = 1'}),"
        "Object.assign(document.createElement('img'), {src: 'https://x.invalid/a.png', onerror: null}))"
    )
    browser.ask("new Promise(done => setTimeout(done, 100))")
    assert browser.ask("typeof window.hit") == "undefined"
    stopped = [e["entry"]["text"] for e in said(browser, "Log.entryAdded")]
    assert any("script" in text for text in stopped) and any("image" in text for text in stopped)


TICK = "document.querySelector('#buy input[type=checkbox]')"


def middle(browser: Browser, expression: str) -> tuple[float, float]:
    browser.ask(f"{expression}.scrollIntoView({{block: 'center', behavior: 'instant'}})")
    left, top, wide, high = browser.ask(f"(r => [r.x, r.y, r.width, r.height])({expression}.getBoundingClientRect())")
    return left + wide / 2, top + high / 2


def test_a_tick_and_a_reading_are_there_again_later_and_can_be_cleared(browser: Browser, folder: Path) -> None:
    url = address(folder, "doubtful")
    browser.open(url)
    browser.ask("localStorage.clear()")
    browser.open(url)
    # Anywhere on the label will do.
    browser.tap(*middle(browser, f"{TICK}.closest('label')"))
    reading = "document.querySelector('#measure input[type=text]')"
    browser.tap(*middle(browser, reading))
    browser.send("Input.insertText", text="114.3 mm")
    assert browser.ask("document.querySelector('#buy .progress').textContent").startswith("1 of ")
    browser.open(url)
    assert browser.ask(f"[{TICK}.checked, {reading}.value]") == [True, "114.3 mm"]
    browser.open(address(folder, "plan"))
    # Another plan keeps its own.
    assert browser.ask(f"{TICK}.checked") is False
    browser.open(url)
    for _ in range(2):
        browser.tap(*middle(browser, "document.getElementById('clear')"))
    assert browser.ask(f"[{TICK}.checked, {reading}.value]") == [False, ""]


def test_without_a_script_everything_is_there_and_can_be_ticked(browser: Browser, folder: Path) -> None:
    browser.open(address(folder, "doubtful"), script=False)
    tree = browser.send("Accessibility.getFullAXTree")["nodes"]
    boxes = [n for n in tree if n.get("role", {}).get("value") == "checkbox"]
    names = " ".join(str(n.get("name", {}).get("value", "")) for n in tree)
    assert len(boxes) >= 6 and "Untick everything" not in names and "ticked" not in names
    assert all(heading in names for heading in ("Buy or pull", "Measure before paying", "The work, in order"))
    node = browser.send("DOM.describeNode", backendNodeId=boxes[0]["backendDOMNodeId"])
    assert "checked" not in node["node"]["attributes"]
    quad = browser.send("DOM.getBoxModel", backendNodeId=boxes[0]["backendDOMNodeId"])["model"]["content"]
    browser.send("DOM.scrollIntoViewIfNeeded", backendNodeId=boxes[0]["backendDOMNodeId"])
    quad = browser.send("DOM.getBoxModel", backendNodeId=boxes[0]["backendDOMNodeId"])["model"]["content"]
    browser.tap((quad[0] + quad[4]) / 2, (quad[1] + quad[5]) / 2)
    again = browser.send("Accessibility.getPartialAXTree", backendNodeId=boxes[0]["backendDOMNodeId"])["nodes"][0]
    checked = next(p["value"]["value"] for p in again["properties"] if p["name"] == "checked")
    assert checked == "true"


def test_printed_nothing_is_cut_off(browser: Browser, folder: Path) -> None:
    browser.open(address(folder, "doubtful"))
    browser.send("Emulation.setEmulatedMedia", media="print")
    try:
        assert browser.ask("document.documentElement.scrollWidth <= innerWidth")
        assert browser.ask("getComputedStyle(document.querySelector('nav')).display") == "none"
    finally:
        browser.send("Emulation.setEmulatedMedia", media="")
