"""YAML documents as plain trees of text, with the line of anything on demand.

Every scalar stays the text a person wrote: what it means is decided by the place it stands in, never by
YAML's own guesses (``no`` is a word, ``1:30`` is not a number).  Anchors and aliases are refused: nobody
needs them in these files, and a few of them can blow up to gigabytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ruamel.yaml.cyaml import CBaseLoader
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from shared.faults import Fault

MOST_BYTES = 8_000_000
Loc = tuple[str | int, ...]


@dataclass
class Faults:
    """Collects faults; nothing is raised until everything has been looked at."""

    found: list[Fault] = field(default_factory=list)

    def add(self, document: Document, loc: Loc, code: str, found: str, expected: str, mend: str = "") -> None:
        """Note a fault at a place in a document."""
        self.found.append(Fault(document.name, document.line(loc), code, _short(found), expected, mend))


@dataclass
class Document:
    """One file: the name shown to people, its tree of dicts, lists and texts, and its node tree for lines."""

    name: str
    path: Path
    tree: dict[str, Any]
    root: Node | None

    def line(self, loc: Loc) -> int:
        """The line, counted from 1, of the deepest part of ``loc`` that is really there."""
        node, line = self.root, 1
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


def _plain(node: Node, name: str, faults: Faults, seen: set[int]) -> Any:
    """The tree of a node; duplicate keys are faults, and so is a node met twice, which only an alias can cause."""
    if id(node) in seen:
        line = node.start_mark.line + 1
        faults.found.append(
            Fault(
                name,
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
        return [_plain(child, name, faults, seen) for child in node.value]
    tree: dict[str, Any] = {}
    for key, value in node.value:
        word = str(key.value) if isinstance(key, ScalarNode) else "?"
        if word in tree:
            faults.found.append(
                Fault(
                    name,
                    key.start_mark.line + 1,
                    "duplicate-key",
                    f"the key {_short(word)!r} a second time",
                    "each key once in a mapping",
                    "keep one of the two",
                )
            )
        tree[word] = _plain(value, name, faults, seen)
    return tree


def parse(text: str, name: str, path: Path, faults: Faults) -> Document | None:
    """Parse one YAML text; ``None`` (and faults) when there is no tree to work on."""
    before = len(faults.found)
    try:
        root = CBaseLoader(text).get_single_node()
        tree = {} if root is None else _plain(root, name, faults, set())
    except RecursionError:
        faults.found.append(Fault(name, 0, "not-yaml", "nesting too deep to read", "a few levels at the most"))
        return None
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = 0 if mark is None else mark.line + 1
        if "alias" in str(error):
            faults.found.append(Fault(name, line, "alias", "an alias", "every value written out"))
        else:
            faults.found.append(
                Fault(
                    name,
                    line,
                    "not-yaml",
                    _short(f"{error.problem or error.context}"),
                    "YAML",
                    "check the indent, the colons and the quotes on this line and the one above",
                )
            )
        return None
    except (YAMLError, ValueError) as error:
        faults.found.append(Fault(name, 0, "not-yaml", _short(str(error)), "YAML"))
        return None
    document = Document(name, path, tree if isinstance(tree, dict) else {}, root)
    if not isinstance(tree, dict):
        faults.found.append(Fault(name, 1, "shape", "no mapping at the top", "keys and values at the top of the file"))
        return None
    return document if len(faults.found) == before else None


def read_text(path: Path, name: str, faults: Faults) -> str | None:
    """The text of a file that somebody wrote by hand; faults for what cannot be one."""
    try:
        if not path.is_file():
            there = "a folder" if path.is_dir() else "not a plain file" if path.exists() else "no such file"
            faults.found.append(Fault(name, 0, "not-a-file", there, "a file that can be read"))
            return None
        if path.stat().st_size > MOST_BYTES:
            faults.found.append(
                Fault(
                    name,
                    0,
                    "too-big",
                    f"{path.stat().st_size} bytes",
                    f"at most {MOST_BYTES} bytes",
                    "split it into several files of one folder",
                )
            )
            return None
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        faults.found.append(
            Fault(name, 0, "not-utf8", f"byte {error.start} is not UTF-8", "UTF-8 text", "save the file as UTF-8")
        )
    except OSError as error:
        faults.found.append(Fault(name, 0, "not-a-file", str(error.strerror), "a file that can be read"))
    return None


def read(path: Path, name: str, faults: Faults) -> Document | None:
    """Read and parse one file."""
    text = read_text(path, name, faults)
    return None if text is None else parse(text, name, path, faults)


def yaml_files(folder: Path, root: Path, faults: Faults) -> Iterator[tuple[Path, str]]:
    """The YAML files below ``folder`` in the order of their names; none that leads out of ``root``."""
    inside = root.resolve()
    for path in sorted(folder.rglob("*.yaml")):
        name = path.relative_to(root).as_posix() if path.is_relative_to(root) else path.name
        if any(part.startswith(".") for part in path.relative_to(folder).parts):
            continue
        if not path.resolve().is_relative_to(inside):
            faults.found.append(
                Fault(name, 0, "not-a-file", "a path that leads out of its folder", "files inside the folder")
            )
            continue
        if path.exists() and not path.is_file():  # reading a pipe would wait for ever
            there = "a folder" if path.is_dir() else "not a plain file"
            faults.found.append(Fault(name, 0, "not-a-file", there, "a file that can be read"))
            continue
        yield path, name
