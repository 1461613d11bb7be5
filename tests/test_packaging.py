"""What holds the project together: dependencies said once, light imports, small modules, nothing of one machine."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
MODULES = sorted([*(ROOT / "hullcalc").rglob("*.py"), *(ROOT / "analysis").rglob("*.py")])
LONGEST = 400
ONE_FILE = {
    "hullcalc/geometry/kernel.py"
}  # all compiled code in one file: the cache of compiled code looks at no other

# Rooms from the ground up: a room imports those before it in the list, never those after it.
ROOMS = (
    "hullcalc.errors", "hullcalc.units", "hullcalc.geometry", "hullcalc.weights", "hullcalc.floating",
    "hullcalc.measuring", "hullcalc.boats", "hullcalc", "analysis", "analysis.studies", "analysis.figures",
    "analysis.controls", "analysis.report", "analysis.command_line",
)  # fmt: skip
NOT_IN_HULLCALC = {"pandas", "matplotlib", "ipywidgets", "IPython", "traitlets", "jinja2", "analysis"}


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imports(path: Path) -> set[str]:
    """Modules that a file imports anywhere, by their full names."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{name_of(path)}: relative import"
            found.add(node.module)
    return found


def room_of(module: str) -> int | None:
    """The place of a module's room in the list; None outside the project."""
    fitting = [i for i, room in enumerate(ROOMS) if module == room or module.startswith(room + ".")]
    return max(fitting, key=lambda i: len(ROOMS[i])) if fitting else None


def tracked() -> list[Path]:
    """The files of the project as git knows them; all that are no by-product where there is no git."""
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    if listing.returncode == 0:
        return [path for name in listing.stdout.decode().split("\0") if name and (path := ROOT / name).is_file()]
    made = re.compile(r"(^|/)(\.(?!ci/|gitignore)|__pycache__|build/|dist/)|\.egg-info/")
    return [path for path in ROOT.rglob("*") if path.is_file() and not made.search(name_of(path))]


def test_environment_yml_says_what_pyproject_says():
    project = PROJECT["project"]
    lines = project["dependencies"] + project["optional-dependencies"]["test"]
    wanted = {r.name.lower(): str(r.specifier) for r in map(Requirement, lines)}
    wanted["python"] = project["requires-python"]
    entries = yaml.safe_load((ROOT / "environment.yml").read_text(encoding="utf-8"))["dependencies"]
    offered = [Requirement(entry) for entry in entries if isinstance(entry, str)]
    assert {r.name.lower(): str(r.specifier) for r in offered if r.name != "pip"} == wanted


def test_every_third_party_import_is_asked_for():
    project = PROJECT["project"]
    asked = {Requirement(line).name.lower() for line in project["dependencies"]}
    optional = {Requirement(line).name for lines in project["optional-dependencies"].values() for line in lines}
    comes_with = {
        "traitlets": "ipywidgets",
        "IPython": "ipywidgets",
        "nbformat": "jupyterlab",
        "nbclient": "jupyterlab",
        "PIL": "matplotlib",
    }
    for path in MODULES:
        for module in imports(path):
            top = module.split(".")[0]
            if top in sys.stdlib_module_names or top in ("hullcalc", "analysis"):
                continue
            if top == "trimesh" or (top in optional and name_of(path).startswith("analysis")):
                continue  # an extra: asked for where it is needed, with words that name it
            assert comes_with.get(top, top).lower() in asked, f"{name_of(path)} imports {top}"


@pytest.mark.parametrize("package", ["hullcalc", "analysis", "analysis.command_line"])
def test_importing_is_light(package):
    heavy = ["numba", "pandas", "matplotlib", "scipy", "pint", "ipywidgets", "jinja2", "trimesh"]
    code = f"import sys, {package}; print([name for name in {heavy} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False)
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_modules_are_small(path):
    if name_of(path) not in ONE_FILE:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST, "split it along a reason to change"


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_imports_run_downwards(path):
    parts = list(path.relative_to(ROOT).with_suffix("").parts)
    own = ".".join(parts[:-1] if parts[-1] in ("__init__", "__main__") else parts)
    here = room_of(own)
    if here is None or own in ("hullcalc", "analysis"):  # the doors of the house name what is inside
        return
    for module in imports(path):
        room = room_of(module)
        if module == "hullcalc" and ROOMS[here].startswith("hullcalc"):
            pytest.fail(f"{own} imports its own door")
        assert room is None or room <= here, f"{own} imports {module} from a room above"


@pytest.mark.parametrize("path", [p for p in MODULES if name_of(p).startswith("hullcalc")], ids=name_of)
def test_hullcalc_neither_prints_nor_draws(path):
    assert not {module.split(".")[0] for module in imports(path)} & NOT_IN_HULLCALC
    calls = [node.func for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    assert not [call for call in calls if isinstance(call, ast.Name) and call.id in ("print", "input")]


def test_the_page_goes_with_the_package():
    patterns = PROJECT["tool"]["setuptools"]["package-data"]
    for path in (ROOT / "analysis").rglob("*"):
        if path.is_file() and path.suffix not in (".py", ".pyc"):
            package = ".".join(path.parent.relative_to(ROOT).parts)
            assert any(path.match(pattern) for pattern in patterns.get(package, ())), name_of(path)


def test_nothing_of_one_machine_and_no_registry():
    hosts = [
        ".".join(host) for host in (("pypi", "org"), ("pythonhosted", "org"), ("anaconda", "org"), ("npmjs", "org"))
    ]
    places = [f"{start}/" for start in ("/work", "/root", "/home", "/Users", "/tmp", "C:\\Users")]
    found = []
    for path in tracked():
        text = path.read_bytes().decode("utf-8", errors="ignore")
        found += [(name_of(path), host) for host in hosts if host in text]
        if path != Path(__file__).resolve():
            found += [(name_of(path), p) for p in places if re.search(rf"(?<![\w./-]){re.escape(p)}\w", text)]
    assert found == []


def test_one_version_and_one_licence():
    import hullcalc

    assert hullcalc.__version__ == PROJECT["project"]["version"]
    assert PROJECT["project"]["license"] == "MIT" and "MIT" in (ROOT / "LICENSE").read_text(encoding="utf-8")
