"""YAML documents as plain trees of text, with the line of anything on demand.

Every scalar stays the text a person wrote: what it means is decided by the place it stands in, never by
YAML's own guesses (``no`` is a word, ``1:30`` is not a number).  Anchors and aliases are refused: nobody
needs them in these files, and a few of them can blow up to gigabytes.

A text is read twice only if something is wrong with it: the first reading makes the tree from the parser's events
and gives up at anything out of the ordinary; the second keeps every node with its place, to tell what and where.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from ruamel.yaml.cyaml import CBaseLoader
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from shared.faults import Fault

from .trees import Odd, goes_on, tree_at_once

MOST_BYTES = 8_000_000
Loc = tuple[str | int, ...]


@dataclass
class Faults:
    """Collects faults; nothing is raised until everything has been looked at.

    ``unsure`` holds the ids of parts that have a fault already by which nothing more can be said of them: that one
    cannot be made, or stands twice, is told once and not again wherever it is named.  ``blind`` tells that parts could
    not be read at all, so that one that is not found may well be there.
    """

    found: list[Fault] = field(default_factory=list)
    unsure: set[str] = field(default_factory=set)
    blind: bool = False

    def unsure_of(self, part: str) -> bool:
        """Whether a fault was told by which nothing can be said of a part, or of it altered or with an assembly.

        >>> faults = Faults(unsure={"hub"})
        >>> faults.unsure_of("hub+drilled@axle"), faults.unsure_of("drum")
        (True, False)
        """
        return self.blind or not self.unsure.isdisjoint({part, *part.replace("@", "+").split("+")})

    def add(self, document: Document, loc: Loc, code: str, found: str, expected: str, mend: str = "") -> None:
        """Note a fault at a place in a document."""
        there = said("") if found == repr("") else _short(found)
        self.found.append(Fault(str(document.path), document.line(loc), code, there, expected, mend))


@dataclass
class Document:
    """One file: the name its values are known by, its path for faults, its tree of dicts, lists and texts, its text.

    ``starts`` holds the lines of what stands in the lists at the top: every part remembers its own, so these are not
    looked up.
    """

    name: str
    path: Path
    tree: dict[str, Any]
    text: str | None
    starts: Mapping[str, Sequence[int]] = field(default_factory=dict)

    @cached_property
    def _root(self) -> Node | None:
        return None if self.text is None else CBaseLoader(self.text).get_single_node()

    def line(self, loc: Loc) -> int:
        """The line, counted from 1, of the deepest part of ``loc`` that is really there."""
        if len(loc) == 2 and isinstance(loc[1], int) and loc[1] < len(starts := self.starts.get(str(loc[0]), ())):
            return starts[loc[1]]
        node, line = self._root, 1
        for step in loc:
            if isinstance(node, MappingNode):
                for key, value in node.value:
                    if key.value == str(step):
                        line, node = key.start_mark.line + 1, value
                        break
                else:
                    return int(line)
            elif isinstance(node, SequenceNode) and isinstance(step, int) and step < len(node.value):
                node = node.value[step]
                line = node.start_mark.line + 1
            else:
                return int(line)
        return int(line)


def _short(text: str) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= 120 else flat[:117] + "..."


def said(value: Any) -> str:
    """What stands at a place, in words: a text in quotes, anything else by what it is.

    >>> said("Hub"), said(None), said(["a"]), said({"make": "X"})
    ("'Hub'", 'nothing', 'a list', 'keys and values')
    """
    if value is None or value == "":
        return "nothing"
    if isinstance(value, Mapping):
        return "keys and values"
    return "a list" if isinstance(value, list | tuple) else repr(str(value))


def _with_comma(pairs: list[tuple[Node, Node]]) -> list[tuple[Node, Node]]:
    """The pairs of a mapping in braces, a number that its decimal comma broke in two made whole."""
    made: list[tuple[Node, Node]] = []
    for key, value in pairs:
        before = made[-1][1] if made else None
        if (
            isinstance(key, ScalarNode)
            and isinstance(value, ScalarNode)
            and not value.value
            and isinstance(before, ScalarNode)
            and goes_on(str(before.value), str(key.value))
        ):
            before.value = f"{before.value},{key.value}"
        else:
            made.append((key, value))
    return made


def _plain(node: Node, file: str, faults: Faults, seen: set[int]) -> Any:
    """The tree of a node; duplicate keys are faults, and so is a node met twice, which only an alias can cause."""
    if id(node) in seen:
        line = node.start_mark.line + 1
        faults.found.append(
            Fault(
                file,
                line,
                "alias",
                "a value that an alias repeats elsewhere",
                "every value written out",
                "write the value again, or use `like:` for a part that resembles another",
            )
        )
        return ""
    seen.add(id(node))
    if isinstance(node, ScalarNode):
        return str(node.value)
    if isinstance(node, SequenceNode):
        return [_plain(child, file, faults, seen) for child in node.value]
    tree: dict[str, Any] = {}
    for key, value in _with_comma(node.value) if isinstance(node, MappingNode) and node.flow_style else node.value:
        word = str(key.value) if isinstance(key, ScalarNode) else "?"
        if word in tree:
            faults.found.append(
                Fault(
                    file,
                    key.start_mark.line + 1,
                    "duplicate-key",
                    f"the key {_short(word)!r} a second time",
                    "each key once in a mapping",
                    "keep one of the two",
                )
            )
        tree[word] = _plain(value, file, faults, seen)
    return tree


def parse(text: str, name: str, path: Path, faults: Faults) -> Document | None:
    """Parse one YAML text; ``None`` (and faults) when there is no tree to work on."""
    try:
        tree, starts = tree_at_once(text)
        return Document(name, path, tree, text, starts)
    except (Odd, YAMLError, ValueError):
        return _parse_with_places(text, name, path, faults)


def _parse_with_places(text: str, name: str, path: Path, faults: Faults) -> Document | None:
    """Parse a text by way of nodes that know their places, which takes many times as long."""
    before = len(faults.found)
    try:
        root = CBaseLoader(text).get_single_node()
        tree = {} if root is None else _plain(root, str(path), faults, set())
    except RecursionError:
        faults.found.append(Fault(str(path), 0, "not-yaml", "nesting too deep to read", "a few levels at the most"))
        return None
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = 0 if mark is None else mark.line + 1
        if "alias" in str(error):
            faults.found.append(Fault(str(path), line, "alias", "an alias", "every value written out"))
        else:
            faults.found.append(_not_yaml(error, text, str(path), line))
        return None
    except (YAMLError, ValueError) as error:
        faults.found.append(Fault(str(path), 0, "not-yaml", _short(str(error)), "YAML"))
        return None
    document = Document(name, path, tree if isinstance(tree, dict) else {}, text)
    if not isinstance(tree, dict):
        expected = "keys and values at the top of the file"
        faults.found.append(Fault(str(path), 1, "shape", "no mapping at the top", expected))
        return None
    return document if len(faults.found) == before else None


def _not_yaml(error: MarkedYAMLError, text: str, file: str, line: int) -> Fault:
    """The fault of a text that the parser gives up at; what no value can begin with is called by its name."""
    problem = str(error.problem or error.context)
    mark = error.problem_mark
    rows = text.splitlines()
    letter = rows[mark.line][mark.column : mark.column + 1] if mark is not None and mark.line < len(rows) else ""
    no_value = "cannot start any token" in problem
    if "tab character" in problem or (no_value and letter == "\t"):
        mend = "indent with spaces, and put one space after the colon"
        return Fault(file, line, "not-yaml", "a tab", "spaces", mend)
    if no_value and letter:
        mend = "put the text in quotes"
        return Fault(file, line, "not-yaml", f"a value that begins with {letter}", "a letter or a digit first", mend)
    mend = "check the indent, the colons and the quotes on this line and the one above"
    return Fault(file, line, "not-yaml", _short(problem), "YAML", mend)


def _is_utf16(data: bytes) -> bool:
    """Whether a text was saved in two bytes a letter: it has the mark of that, or every second byte is zero."""
    start = data[:64]
    return start[:2] in (b"\xff\xfe", b"\xfe\xff") or (len(start) > 3 and (not any(start[::2]) or not any(start[1::2])))


def not_a_file(path: Path) -> str:
    """What a path leads to where that is no file; empty where it is one."""
    if path.is_file():
        return ""
    return "a folder" if path.is_dir() else "not a plain file" if path.exists() else "no such file"


def named_alike(path: Path) -> str:
    """A mend naming what stands beside a file that is not there, under nearly its name; empty where nothing does."""
    from difflib import get_close_matches

    try:
        beside = sorted((at.name for at in path.parent.iterdir() if not at.name.startswith(".")), reverse=True)
    except OSError:
        return ""
    names = {name.casefold(): name for name in beside}
    close = get_close_matches(path.name.casefold(), sorted(names), 1, 0.7)
    return f"did you mean {str(path.parent / names[close[0]])!r}?" if close else ""


def read_text(path: Path, faults: Faults) -> str | None:
    """The text of a file that somebody wrote by hand; faults for what cannot be one."""
    try:
        if there := not_a_file(path):
            mend = "" if path.exists() else named_alike(path)
            faults.found.append(Fault(str(path), 0, "not-a-file", there, "a file that can be read", mend))
            return None
        if path.stat().st_size > MOST_BYTES:
            faults.found.append(
                Fault(
                    str(path),
                    0,
                    "too-big",
                    f"{path.stat().st_size} bytes",
                    f"at most {MOST_BYTES} bytes",
                    "split it into several files of one folder",
                )
            )
            return None
        data = path.read_bytes()
        if _is_utf16(data):
            faults.found.append(Fault(str(path), 0, "not-utf8", "UTF-16 text", "UTF-8 text", "save the file as UTF-8"))
            return None
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        letter = f"a letter that is not UTF-8 (byte {error.object[error.start]:02x})"
        faults.found.append(Fault(str(path), line, "not-utf8", letter, "UTF-8 text", "save the file as UTF-8"))
    except OSError as error:
        faults.found.append(Fault(str(path), 0, "not-a-file", str(error.strerror), "a file that can be read"))
    return None


def read(path: Path, name: str, faults: Faults) -> Document | None:
    """Read and parse one file."""
    text = read_text(path, faults)
    return None if text is None else parse(text, name, path, faults)
