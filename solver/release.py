"""Which release of swapwright this is."""

from __future__ import annotations

from pathlib import Path

from shared.errors import SwapwrightError

NAME = "swapwright"


def release(root: Path = Path(__file__).parent.parent) -> str:
    """The version of the code in this folder, as ``0.1.0``: what its checkout says, else what was installed.

    The checkout goes first, as another release may be installed beside it.

    Raises :class:`shared.errors.SwapwrightError` where there is neither.

    >>> release().count(".")
    2
    """
    from importlib.metadata import PackageNotFoundError, version
    from tomllib import loads

    project = root / "pyproject.toml"
    said = loads(project.read_text(encoding="utf-8")).get("project", {}) if project.is_file() else {}
    if said.get("name") == NAME:
        return str(said["version"])
    try:
        return version(NAME)
    except PackageNotFoundError:
        raise SwapwrightError(f"no version is known: {root} is no checkout, and {NAME} is not installed") from None
