"""``swapwright yard`` and ``swapwright shop`` as a person runs them."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from solver.cli import main
from solver.shopping import ShoppingDocument
from solver.yard.document import YardDocument

ROOT = Path(__file__).parents[3]
Listed = Callable[[str], Path]


@dataclass(frozen=True)
class Done:
    returncode: int
    stdout: str
    stderr: str


Run = Callable[..., Done]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Runs the command line in this process, for starting one takes longer than answering."""

    def call(*arguments: object) -> Done:
        monkeypatch.setattr(sys, "argv", ["swapwright", *map(str, arguments)])
        capfd.readouterr()
        code = 0
        try:
            main()
        except SystemExit as left:
            code = int(left.code or 0)
        told = capfd.readouterr()
        return Done(code, told.out, told.err)

    return call


def fresh(*arguments: object, seed: str) -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed}
    code = "from solver.cli import main; main()"
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, env=environment, check=False).stdout


def test_from_the_list_of_cars_to_the_shopping_list(run: Run, folder: Path, listed: Listed) -> None:
    cars = listed("Halden|Drover|1995||||\nHalden|Drover|1996|||A2|=1+1 <b>")
    walked = run("yard", folder / "goal.yaml", "--cars", cars, "--plan", folder / "plan.json")
    assert walked.returncode == 0
    assert walked.stdout.startswith("Higher bed: fits; 1 part off 1 of 2 cars here (A2); 40 in all")
    assert "[ ] Tall spring for the spring, both from this car: 40" in walked.stdout
    assert "LEAVE IT when: cracked leaf" in walked.stdout
    assert "plan written to" in walked.stderr
    bought = run("shop", folder / "plan.json", "--to", "csv")
    assert bought.returncode == 0 and not bought.stderr
    head, *rows = csv.reader(io.StringIO(bought.stdout))
    assert rows[0][head.index("item")] == "Tall spring"
    document = ShoppingDocument.model_validate_json(run("shop", folder / "plan.json", "--json").stdout)
    assert document.totals is not None and document.totals.all.text == "40"
    assert run("shop", folder / "plan.json", "--to", "markdown").stdout.startswith("# Higher bed: what to get\n")


def test_the_same_bytes_whatever_the_hash_seed(folder: Path, listed: Listed) -> None:
    cars = listed("Halden|Drover|1995|||A1|\nCorrick|Tramper|1999||||\nHalden|Drover||||B1|hit")
    first = fresh("yard", folder / "goal.yaml", "--cars", cars, "--json", seed="1")
    assert YardDocument.model_validate_json(first).format == "swapwright yard"
    assert fresh("yard", folder / "goal.yaml", "--cars", cars, "--json", seed="2") == first


def test_no_build_here_is_a_no(run: Run, folder: Path, listed: Listed) -> None:
    done = run("yard", folder / "goal.yaml", "--cars", listed("Pellow|Skerry|1995|||E1|"))
    assert done.returncode == 1
    assert "Not here today\n- Stiff spring for the spring" in done.stdout
    assert "Traceback" not in done.stdout + done.stderr


def test_bad_lists_are_bad_input(run: Run, folder: Path, listed: Listed) -> None:
    file = listed("Halden|Drover|soon|||A1|")
    done = run("yard", folder / "goal.yaml", "--cars", file)
    assert done.returncode == 2 and "cars.csv:2: 'soon'" in done.stderr and not done.stdout
    faults = json.loads(run("yard", folder / "goal.yaml", "--cars", file, "--json").stdout)
    assert faults["faults"][0]["code"] == "bad-years"
    assert run("yard", folder / "goal.yaml").returncode == 2
    assert run("shop", file).returncode == 2


def test_inches(run: Run, folder: Path, listed: Listed) -> None:
    done = run("yard", folder / "goal.yaml", "--cars", listed("Halden|Drover|1995|||A1|"), "--units", "us")
    # 215 mm is 8.465 in and 270 mm is 10.630 in, kept to on the printed hundredth.
    assert "free height: 8.47 in to 10.62 in is good enough" in done.stdout
    # 16 N/mm is 91.4 lb/in and 200/7 N/mm 163.1 lb/in (1 lb/in is 0.1751 N/mm).
    assert "rate: 92 lb/in to 163 lb/in is good enough" in done.stdout
