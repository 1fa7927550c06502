"""What a newcomer and a packager rely on: the README's two blocks, the locks, the wheel, the contract."""

from __future__ import annotations

import ast
import configparser
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

from tests.short_year import one_month
from tests.source import parsed

# The top level of the repository is a fixed list; a new name there wants a written decision.
TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "app.py"}
TOP |= {"mistcalc", "tests", "climate_samples", "docs"}


def start_blocks(repository: Path) -> list[tuple[str, str]]:
    """Every fenced block of the README: (language, text)."""
    return re.findall(r"^```(\w*)\n(.*?)^```$", (repository / "README.md").read_text("utf-8"), re.M | re.S)


def test_readme_holds_exactly_two_shell_blocks_under_start(repository):
    text = (repository / "README.md").read_text("utf-8")
    start = text.split("\n## Start\n")[1].split("\n## ")[0]
    blocks = start_blocks(repository)
    assert [language for language, _ in blocks] == ["sh", "sh"]
    assert all(block in start for _, block in blocks)


def test_readme_blocks_parse_as_plain_sh(repository):
    for _, block in start_blocks(repository):
        done = subprocess.run(["sh", "-n"], input=block, text=True, capture_output=True)
        assert done.returncode == 0, done.stderr


def test_readme_blocks_install_from_hashed_locks_and_never_editable(repository):
    for (_, block), lock in zip(start_blocks(repository), ("run", "test"), strict=True):
        assert f"--require-hashes -r .lock/{lock}.txt" in block
        assert not re.search(r"pip install .*(-e |--editable)", block)


def test_readme_links_inside_the_repository_exist(repository):
    text = (repository / "README.md").read_text("utf-8")
    links = [link for link in re.findall(r"\]\(([^)#]+)", text) if "://" not in link]
    assert links
    assert [link for link in links if not (repository / link).exists()] == []


@pytest.mark.parametrize("lock", ["run", "office", "test"])
def test_every_locked_package_has_hashes_and_no_address(repository, lock):
    text = (repository / ".lock" / f"{lock}.txt").read_text("utf-8")
    entries = re.findall(r"^[A-Za-z0-9].*?(?=^[A-Za-z0-9]|\Z)", text, re.M | re.S)
    assert len(entries) > 20
    assert [entry.split()[0] for entry in entries if "--hash=sha256:" not in entry] == []
    assert "://" not in text
    assert "index-url" not in text


def test_all_locks_pin_the_same_releases_and_all_that_is_declared(repository):
    pins = {}
    for lock in ("run", "office", "test"):
        text = (repository / ".lock" / f"{lock}.txt").read_text("utf-8")
        pins[lock] = set(re.findall(r"^([A-Za-z0-9._-]+==[^ ;\\]+)", text, re.M))
    assert pins["run"] <= pins["office"] <= pins["test"]
    project = tomllib.loads((repository / "pyproject.toml").read_text("utf-8"))
    extras = project["project"]["optional-dependencies"]
    declared = {
        "run": [*project["project"]["dependencies"], *extras["page"]],
        "office": [*project["project"]["dependencies"], *extras["office"]],
        "test": [name for names in extras.values() for name in names],
    }
    for lock, names in declared.items():
        locked = {pin.split("==")[0].lower() for pin in pins[lock]}
        names += project["dependency-groups"]["build"]
        assert {re.split(r"[<>=~! ;]", name)[0].lower() for name in names} <= locked


def test_top_level_is_the_agreed_list(repository):
    if (repository / ".git").exists():
        done = subprocess.run(["git", "ls-files"], cwd=repository, text=True, capture_output=True, check=True)
        names = {line.split("/")[0] for line in done.stdout.splitlines()}
    else:  # a bare copy: leave out what an install makes
        made = ("build", "tinaja-lane.toml", "tinaja-lane-sheets")
        names = {path.name for path in repository.iterdir() if path.name not in made}
        names = {name for name in names if not name.endswith(".egg-info")}
    assert {name for name in names if not name.startswith(".")} <= TOP


def test_pyproject_names_every_folder_of_code(repository):
    project = tomllib.loads((repository / "pyproject.toml").read_text("utf-8"))
    packages = set(project["tool"]["setuptools"]["packages"])
    found = {
        ".".join(path.parent.relative_to(repository).parts)
        for path in (repository / "mistcalc").rglob("__init__.py")
    }
    assert packages == found | {"mistcalc.climate_samples"}


def test_no_definition_has_the_name_of_its_module_and_no_two_classes_one_name(repository):
    """`from mistcalc.layout import sides` must give one thing."""
    homes: dict[str, list[str]] = {}
    for path in sorted((repository / "mistcalc").rglob("*.py")):
        for defined in parsed(path.read_text("utf-8")).body:
            if isinstance(defined, (ast.FunctionDef, ast.ClassDef)):
                assert defined.name != path.stem, path
            if isinstance(defined, ast.ClassDef):
                homes.setdefault(defined.name, []).append(str(path))
    assert {name: places for name, places in homes.items() if len(places) > 1} == {}


def test_every_name_that_a_package_hands_on_is_used(repository):
    """`__init__.py` hands names on and lists them once: a name that nobody takes any more goes."""
    trees = {
        path: parsed(path.read_text("utf-8"))
        for folder in ("mistcalc", "tests")
        for path in (repository / folder).rglob("*.py")
    }
    taken: set[tuple[str, str]] = set()
    for node in (node for tree in trees.values() for node in ast.walk(tree)):
        if isinstance(node, ast.ImportFrom):
            taken |= {(str(node.module).rpartition(".")[2], alias.name) for alias in node.names}
        elif isinstance(node, ast.Attribute):
            taken.add((ast.unparse(node.value).rpartition(".")[2], node.attr))
    idle = []
    for path in (path for path in trees if path.name == "__init__.py"):
        own = {node.id for node in ast.walk(trees[path]) if isinstance(node, ast.Name)}
        given = (node for node in trees[path].body if isinstance(node, ast.ImportFrom))
        names = {
            alias.asname or alias.name
            for node in given
            if node.module != "__future__"
            for alias in node.names
        }
        idle += [(path.parent.name, name) for name in names - own if (path.parent.name, name) not in taken]
    assert idle == []


def test_import_contract_holds(repository):
    tool = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([tool, "--no-cache"], cwd=repository, text=True, capture_output=True)
    assert done.returncode == 0, done.stdout


def test_import_contract_was_not_thinned_out(repository):
    """All seven contracts are there, exhaustive, and name every room that exists."""
    contract = configparser.ConfigParser()
    contract.read(repository / ".importlinter")
    of = {name.rsplit(":", 1)[1]: contract[name] for name in contract.sections() if ":contract:" in name}
    assert set(of) >= {"house", "rooms", "equations", "results", "pure", "libraries", "acyclic"}
    assert of["house"]["exhaustive"] == "true"

    def named(section: str, key: str) -> set[str]:
        return {
            line.strip().removeprefix("mistcalc.") for line in of[section][key].split("\n") if line.strip()
        }

    rooms = [
        "outdoor_air",
        "layout",
        "line",
        "cooling",
        "season",
        "takeoff",
        "schedule",
        "carpentry",
        "checks",
    ]
    built = {name for name in [*rooms, "design", "options", "physics", "model"] if exists(repository, name)}
    assert built >= {
        "outdoor_air",
        "layout",
        "line",
        "cooling",
        "takeoff",
        "checks",
        "design",
        "physics",
        "model",
    }
    assert named("rooms", "protected_modules") == built & set(rooms)
    assert named("rooms", "allowed_importers") == {"design"}
    assert named("equations", "protected_modules") == {"physics"}
    assert named("results", "protected_modules") == built & {"design", "options"}
    assert named("pure", "source_modules") == built | {"fleet.totals"}


LONGEST_FILE, LONGEST_FUNCTION = 350, 60  # lines


def test_no_file_and_no_function_is_longer_than_one_can_read_at_once(repository):
    long_files, long_functions = {}, {}
    sources = [path for path in (repository / "mistcalc").rglob("*") if path.suffix in (".py", ".js")]
    assert len(sources) > 200
    for path in sources:
        text = path.read_text("utf-8")
        if (count := len(text.splitlines())) > LONGEST_FILE:
            long_files[path.name] = count
        for node in ast.walk(parsed(text if path.suffix == ".py" else "")):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                count = node.end_lineno - node.lineno + 1  # from `def`, its docstring counted in
                if count > LONGEST_FUNCTION:
                    long_functions[f"{path.name}: {node.name}"] = count
    assert (long_files, long_functions) == ({}, {})


def exists(repository: Path, name: str) -> bool:
    return (repository / "mistcalc" / f"{name}.py").exists() or (repository / "mistcalc" / name).is_dir()


@pytest.mark.thorough
def test_wheel_carries_its_data(repository, tmp_path):
    """A wheel built from a clean copy holds all code and every file that is not code, and runs alone."""
    source = tmp_path / "source"
    source.mkdir()
    for name in ("mistcalc", "climate_samples"):
        shutil.copytree(repository / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(repository / name, source)
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    done = subprocess.run([*build, "--wheel-dir", tmp_path, source], text=True, capture_output=True)
    assert done.returncode == 0, done.stderr
    (wheel,) = tmp_path.glob("*.whl")
    held = set(zipfile.ZipFile(wheel).namelist())

    samples = {path.name for path in (repository / "climate_samples").iterdir()}
    for_tests = {"tucson-az.tmy3.csv.gz", "las-vegas-nv.epw.gz"}
    assert for_tests < samples and not {name for name in held if Path(name).name in for_tests}
    assert sum("licenses/" in name for name in held) == 3
    wanted = {f"mistcalc/climate_samples/{name}" for name in samples - for_tests}
    wanted |= {
        path.relative_to(repository).as_posix()
        for path in (repository / "mistcalc").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert wanted - held == set()

    unpacked = tmp_path / "unpacked"
    zipfile.ZipFile(wheel).extractall(unpacked)
    far = tmp_path / "far"
    far.mkdir()

    def alone(*arguments: str) -> str:
        """Python with that wheel and the libraries, far from the repository."""
        done = subprocess.run(
            [sys.executable, *arguments],
            cwd=far,
            text=True,
            capture_output=True,
            env={"PYTHONPATH": str(unpacked)},
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    assert alone("-c", "import mistcalc; print(mistcalc.__file__)").strip().startswith(str(unpacked))
    alone("-m", "mistcalc", "new", "own", "--run", "20 ft", "--depth", "10 ft", "--near", "tucson")
    alone("-m", "mistcalc", "new", "demo", "--example", "bayou")
    (far / "demo.toml").write_text(one_month((far / "demo.toml").read_text("utf-8")), "utf-8")
    told = alone("-m", "mistcalc", "plan", "demo.toml", "--out", "sheets")
    assert "invented" in (far / "demo.toml").read_text("utf-8").lower() and "FILES" in told
    assert {"sheets-builder.pdf", "plan.json", "marks.csv"} < {
        path.name for path in (far / "sheets").iterdir()
    }
