"""The commands as a person runs them: answers, exit codes, JSON read back, the same bytes every time, no traceback."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from shared.plan import PlanDocument

ROOT = Path(__file__).parents[3]
TRAILER = ROOT / "tests" / "data" / "trailer"


def run(*arguments: object, seed: str = "0", at: Path | None = None, **more: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, **more}
    code = "from solver.cli import main; main()"
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, env=environment, cwd=at, check=False)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(TRAILER, tmp_path / "t")
    return tmp_path / "t"


def test_a_plan_answers_on_stdout() -> None:
    done = run("plan", TRAILER / "goal.yaml")
    assert done.returncode == 0
    assert done.stdout.startswith("Higher bed: ")
    assert not done.stderr


def test_json_is_one_document_that_is_read_back() -> None:
    done = run("plan", TRAILER / "goal.yaml", "--json")
    document = PlanDocument.model_validate_json(done.stdout)
    assert document.format == "swapwright plan" and document.version == 2
    assert document.builds[0].parts and document.builds[0].quantities
    assert json.loads(done.stdout)["builds"][0]["rank"] == 1


def test_the_list_of_formulas_is_a_document_too() -> None:
    listed = json.loads(run("calc", "--list", "--json").stdout)
    assert (listed["format"], listed["version"]) == ("swapwright formulas", 1)
    assert {"name": "ride_frequency", "subject": "ride", "inputs": ["rate", "sprung_mass"]} in listed["formulas"]
    assert "brake-balance" in listed["pictures"]
    unknown = run("calc", "--list", "rides")
    assert unknown.returncode == 2 and "did you mean 'ride'?" in unknown.stderr


def test_the_same_bytes_whatever_the_hash_seed(folder: Path) -> None:
    first = run("plan", folder / "goal.yaml", "--json", seed="1").stdout
    (folder / "catalogue.yaml").rename(folder / "another-name.yaml")
    assert run("plan", folder / "goal.yaml", "--json", seed="2").stdout == first


def test_us_units() -> None:
    done = run("plan", TRAILER / "goal.yaml", "--units", "us")
    assert " in" in done.stdout and " mm" not in done.stdout


def test_no_build_is_an_answer_with_both_sides(folder: Path) -> None:
    (folder / "goal.yaml").write_text(
        "format: swapwright goal\nversion: 1\nname: Up\nwant: {bed_lift: at least 200 mm}\n"
    )
    done = run("plan", folder / "goal.yaml")
    assert done.returncode == 1
    assert "at least 200 mm" in done.stdout and "140.0 mm off" in done.stdout
    assert json.loads(run("plan", folder / "goal.yaml", "--json").stdout)["builds"] == []


def test_bad_input_names_every_fault(folder: Path) -> None:
    (folder / "more.yaml").write_text(
        "format: swapwright catalogue\nversion: 1\nparts:\n  - {id: x, nam: y, kind: z}\n"
    )
    done = run("check", folder)
    assert done.returncode == 2
    assert "more.yaml:4" in done.stderr
    assert "Traceback" not in done.stderr + done.stdout
    faults = json.loads(run("check", folder, "--json").stdout)
    assert faults["format"] == "swapwright faults" and len(faults["faults"]) >= 2


def test_new_makes_what_check_and_plan_take(tmp_path: Path) -> None:
    assert run("new", tmp_path / "car").returncode == 0
    assert run("check", tmp_path / "car").returncode == 0
    again = run("new", tmp_path / "car")
    assert again.returncode == 2 and "already there" in again.stderr


def test_out_writes_whole(tmp_path: Path) -> None:
    done = run("plan", TRAILER / "goal.yaml", "--json", "--out", tmp_path / "plan.json")
    assert done.returncode == 0 and not done.stdout
    PlanDocument.model_validate_json((tmp_path / "plan.json").read_text())
    assert [p.name for p in tmp_path.iterdir()] == ["plan.json"]


@pytest.mark.parametrize(
    "arguments", [("plan", "nowhere.yaml"), ("check", "nowhere"), ("plan", "--most", "0"), ("fly",)]
)
def test_wrong_words_are_bad_input(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_help_loads_neither_graph_library_nor_unit_registry() -> None:
    code = (
        "import sys; sys.argv = ['swapwright', '--help']\n"
        "from solver.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(sorted({'networkx', 'pint', 'numpy', 'constraint'} & set(sys.modules)))"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment, check=True)
    assert done.stdout.rstrip().endswith("[]")


def test_a_wider_goal_never_loses_a_plan(folder: Path) -> None:
    def builds(limit: str) -> set[tuple[str | None, ...]]:
        text = f"format: swapwright goal\nversion: 1\nname: x\nwant: {{bed_lift: {limit}}}\n"
        (folder / "goal.yaml").write_text(text)
        document = PlanDocument.model_validate_json(run("plan", folder / "goal.yaml", "--json", "--most", "50").stdout)
        return {tuple(p.id for p in b.parts) for b in document.builds}

    narrow, wide = builds("30 mm to 45 mm"), builds("10 mm to 60 mm")
    assert narrow and narrow <= wide


@pytest.mark.parametrize(
    "asked",
    [
        ["plan", "t/no.yaml"],
        ["check", "t/no.yaml"],
        ["why", "t/no.yaml"],
        ["measure", "--goal", "t/no"],
        ["calc", "lift", "--car", "t/no.yaml"],
        ["yard", "t/goal.yaml", "--cars", "t/no.csv"],
        ["work", "t/no.json"],
        ["graph", "t/no.json"],
    ],
    ids=" ".join,
)
def test_a_file_that_is_not_there_is_told_as_it_was_typed(folder: Path, asked: list[str]) -> None:
    done = run(*asked, at=folder.parent)
    [typed] = [word for word in asked if word.startswith("t/no")]
    assert done.returncode == 2 and done.stderr.startswith(f"{typed}: no such file; expected a ")


@pytest.mark.parametrize(
    ("asked", "meant"),
    [
        (["plan", "T"], "t"),
        (["plan", "t/gaol.yaml"], "t/goal.yaml"),
        (["measure", "--goal", "t/Goal.yml"], "t/goal.yaml"),
        (["plan", "t/quarterly.yaml"], ""),
        (["plan", "nowhere/goal.yaml"], ""),
    ],
)
def test_what_stands_there_under_nearly_that_name_is_told(folder: Path, asked: list[str], meant: str) -> None:
    done = run(*asked, at=folder.parent)
    assert done.returncode == 2 and "no such file" in done.stderr
    assert re.findall(r"did you mean '(.*)'", done.stderr) == ([meant] if meant else [])


def test_where_an_answer_cannot_go_is_told_before_the_work(folder: Path) -> None:
    """So the goal, which is not there either, is not even looked at."""
    for option, command in (("--out", "plan"), ("--out", "page"), ("--plan", "yard"), ("--plot", "calc")):
        done = run(command, "no.yaml", *(["--cars", "no.csv"] if command == "yard" else []), option, "none/x.svg")
        assert done.returncode == 2 and done.stderr == "cannot go on: there is no folder none to write x.svg in\n"


def test_faults_of_two_cars_are_told_apart(folder: Path) -> None:
    """Files of one name in two folders, each with the folder as it was typed."""
    shutil.copytree(folder, folder.parent / "u")
    for name in ("t", "u"):
        catalogue = folder.parent / name / "catalogue.yaml"
        catalogue.write_text(catalogue.read_text().replace("rate: 20 N/mm", "rate: 20 kg", 1))
    told = run("check", "t", "u", at=folder.parent).stderr
    assert "t/catalogue.yaml:" in told and "u/catalogue.yaml:" in told


def test_a_plan_in_the_place_of_its_goal_is_told_which_that_is(folder: Path) -> None:
    (folder / "plan.json").write_text(run("plan", folder / "goal.yaml", "--json").stdout)
    done = run("why", folder / "plan.json")
    assert done.returncode == 2
    assert f"that is an answer; name the goal it answers: {folder / 'goal.yaml'}" in done.stderr


@pytest.mark.parametrize("command", ["shop", "graph", "work", "page"])
def test_a_plan_of_another_version_is_refused_in_plain_words(folder: Path, command: str) -> None:
    """As one of version 1 was: other fields, which are not what is wrong with it."""
    made = json.loads(run("plan", folder / "goal.yaml", "--json").stdout)
    old = {k: v for k, v in made.items() if k not in ("ledger", "conflicts", "conflicts_complete", "relaxations")}
    old |= {"version": 1, "removed": [], "refusal": None}
    (folder / "plan.json").write_text(json.dumps(old))
    more = ["--out", folder / "page.html"] if command == "page" else ["--to", "dot"] if command == "graph" else []
    done = run(command, folder / "plan.json", *more)
    assert done.returncode == 2 and not done.stdout
    assert done.stderr.startswith(f"{folder / 'plan.json'}: a plan of version 1; expected version 2")
    assert "swapwright plan GOAL --json" in done.stderr
    (folder / "plan.json").write_text(json.dumps(made))
    assert run(command, folder / "plan.json", *more).returncode == 0


def test_a_rule_on_the_car_alone_is_told_alike_everywhere(folder: Path) -> None:
    """The trailer's 750 kg are no part's doing: no build, said so by plan and by why, and none counted to meet it."""
    layout = folder / "layout" / "trailer.yaml"
    rule = "  X3: {severity: must, says: light, source: a club, subject: vehicle.mass, at_most: 500 kg}\n"
    layout.write_text(layout.read_text().replace("\napart:\n", f"{rule}\napart:\n"))
    for command in ("plan", "why"):
        done = run(command, folder / "goal.yaml", "--json")
        assert done.returncode == 1
        told = json.loads(done.stdout)
        assert [[m["name"] for m in c["members"]] for c in told["conflicts"]] == [["X3"]]
        assert told["ledger"]["meeting"] == 0


@pytest.mark.parametrize(
    "command", ["plan", "why", "shop", "work", "graph --to dot", "page", "calc lift --car", "yard --cars {cars}"]
)
def test_the_folder_of_the_only_goal_is_as_good_as_its_file(folder: Path, command: str) -> None:
    cars = folder / "cars.csv"
    cars.write_text("make,model\nNone,Here\n", "utf-8")
    words = [w.format(cars=cars) for w in command.split()]
    named, meant = run(*words, folder / "goal.yaml"), run(*words, folder)
    assert (named.returncode, named.stdout, named.stderr) == (meant.returncode, meant.stdout, meant.stderr)


def test_of_several_goals_in_a_folder_one_is_to_be_named(folder: Path) -> None:
    shutil.copy(folder / "goal.yaml", folder / "other.yaml")
    done = run("plan", folder)
    assert done.returncode == 2 and not done.stdout
    assert "2 goals in this folder" in done.stderr and "name one: goal.yaml, other.yaml" in done.stderr


def test_a_name_in_any_script_goes_out_whatever_the_code_page(folder: Path) -> None:
    catalogue = folder / "catalogue.yaml"
    text = catalogue.read_text("utf-8")
    assert "name: Tall spring" in text
    catalogue.write_text(text.replace("name: Tall spring", "name: Πάνω \N{SNOWMAN}"), "utf-8")
    plain, old = run("plan", folder, "--json"), run("plan", folder, "--json", PYTHONIOENCODING="cp1252")
    assert "Πάνω \N{SNOWMAN}" in plain.stdout and (old.returncode, old.stdout) == (0, plain.stdout)


def test_a_folder_in_place_of_a_file_is_told_in_words(folder: Path) -> None:
    done = run("plan", "no.yaml", "--out", folder)
    assert done.returncode == 2 and done.stderr.rstrip() == f"cannot go on: {folder} is a folder; name a file to write"
