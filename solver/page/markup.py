"""The page as HTML: one file, nothing from elsewhere, and nothing in it that a stranger's text could start.

Every text is made plain and escaped on its way out; the only script and the only style that may act are ours, by
their hashes in the page's own policy.  The page is whole without the script, which only remembers ticks.
"""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from ..graph.plain import plain
from ..words import sentence
from .document import PageDocument

MOST_LETTERS = 600


def page_html(document: PageDocument) -> str:
    """The whole page, ready to be saved and opened offline."""
    style, script = _ours("page.css"), _ours("page.js")
    return _template().render(
        page=document,
        sentence=sentence,
        style=Markup(style),
        script=Markup(script),
        style_hash=_hash(style),
        script_hash=_hash(script),
    )


def _shown(value: object) -> object:
    """What goes out: a stranger's text on one line, without anything invisible."""
    if isinstance(value, str) and not isinstance(value, Markup):
        return plain(value, MOST_LETTERS)
    return value


@cache
def _template() -> Template:
    surroundings = Environment(
        loader=PackageLoader("solver.page", ""),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_shown,
    )
    return surroundings.get_template("page.html.j2")


@cache
def _ours(name: str) -> str:
    return files("solver.page").joinpath(name).read_text("utf-8")


def _hash(text: str) -> str:
    """The hash by which a policy lets a style or a script act (CSP level 3, section 2.3.1)."""
    return "sha256-" + b64encode(sha256(text.encode("utf-8")).digest()).decode("ascii")
