"""``swapwright graph`` as a person runs it."""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from solver import plan

ROOT = Path(__file__).parents[3]


def run(*arguments: object, seed: str = "0") -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed}
    code = "from solver.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, "graph", *map(str, arguments)], capture_output=True, env=environment, check=False
    )


def test_straight_from_a_goal_as_a_picture(trailer: Path, tmp_path: Path) -> None:
    out = tmp_path / "picture.svg"
    done = run(trailer, "--show", "changed", "--out", out)
    assert (done.returncode, done.stdout) == (0, b"")
    assert b"written to" in done.stderr and out.read_text("utf-8").startswith("<svg")


def test_a_clash_is_an_answer_of_no(trailer: Path) -> None:
    done = run(trailer, "--parts", "hub-big,wheel-old", "--json")
    assert done.returncode == 1
    edges = json.loads(done.stdout)["edges"]
    # Five studs, four holes.
    assert any(e["relation"] == "wheel-on-hub" and e["sides"] == "lugs 5 against 4" and e["gap"] == "1" for e in edges)


def test_us_units(trailer: Path) -> None:
    done = run(trailer, "--parts", "spring-tall", "--json", "--units", "us")
    spring = next(n for n in json.loads(done.stdout)["nodes"] if n["id"] == "spring")
    # 1000 mm, 39.37 in.
    assert spring["axle.spacing"].startswith("39.37") and spring["axle.spacing"].endswith(" in")


def test_the_same_bytes_whatever_the_hash_seed(trailer: Path) -> None:
    for to in ("svg", "dot"):
        assert run(trailer, "--to", to, seed="1").stdout == run(trailer, "--to", to, seed="2").stdout


@pytest.mark.parametrize(
    "wrong", [["no-such-file.yaml"], ["--around", "no-such-part"], ["--parts", "no-such-part"], ["--build", "40"]]
)
def test_bad_input_is_said_in_words(trailer: Path, wrong: list[str]) -> None:
    done = run(*(wrong if wrong[0].endswith(".yaml") else [trailer, *wrong]))
    assert done.returncode == 2 and b"Traceback" not in done.stderr and done.stderr


def test_a_plan_s_file_that_is_off_is_told_in_our_own_words(trailer: Path, tmp_path: Path) -> None:
    whole = plan(trailer, most=1).model_dump_json()
    file = tmp_path / "plan.json"
    for old, new, said in (
        ('"verdict":"fits"', '"verdict":"good"', "builds.0.verdict is not 'fits', 'fits if checked' or 'does not fit'"),
        ('"goal_file":', '"goal_fiel":', "no goal_file in it"),
        ('"rank":1', '"rank":"first"', "builds.0.rank is not a whole number"),
    ):
        assert old in whole
        file.write_text(whole.replace(old, new, 1), "utf-8")
        done = run(file)
        assert done.returncode == 2 and said in done.stderr.decode() and b"Input" not in done.stderr
    file.write_text(whole[:-1], "utf-8")
    assert b"no whole JSON" in run(file).stderr


def test_a_png_or_what_to_install_for_one(trailer: Path, tmp_path: Path) -> None:
    out = tmp_path / "picture.png"
    done = run(trailer, "--to", "png", "--out", out)
    if importlib.util.find_spec("resvg_py") is None:
        assert done.returncode == 2 and b"pip install" in done.stderr and not out.exists()
    else:
        assert done.returncode == 0 and out.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")
