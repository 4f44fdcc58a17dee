"""What holds for the whole package: imports point one way, names are declared, docstrings say enough."""

import ast
import importlib
import inspect
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path
from types import ModuleType

import pytest

import explorer

PACKAGE = Path(explorer.__file__).parent
ROOT = Path(__file__).parents[1]

# An import may point from a later row to an earlier one, or stay in its own part; two parts of one row do not
# know each other. The package's own __init__ is not imported by its modules.
ROWS = (
    {"model"},
    {"analysis", "records"},
    {"intake"},
    {"practice"},
    {"display"},
    {"widgets"},
    {"demo", "ports", "page_token"},
    {"default_record"},
    {"serve"},
    {"command"},
)
ROW_OF = {part: row for row, parts in enumerate(ROWS) for part in parts}
PARTS_WITHOUT_SCREEN = {"demo": {"model"}, "default_record": {"model", "records", "demo"}}
WIDGET_LIBRARIES = {"ipywidgets", "ipyleaflet", "bqplot", "bqscales", "traitlets", "IPython", "anywidget"}
NOT_LOADED_BY_IMPORT = WIDGET_LIBRARIES | {"geopandas", "pandas", "sqlalchemy", "voila"}
DISTRIBUTIONS_WITHOUT_IMPORT = {
    "voila": "started as a program of its own",
    "ipykernel": "started by the server, by the notebooks' name for it",
}


def module_names() -> list[str]:
    names = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        if not any(part.startswith("_") and part != "__init__" for part in parts):
            names.append(".".join(part for part in parts if part != "__init__"))
    return names


@cache
def tree_of(name: str) -> ast.Module:
    path = PACKAGE.parent.joinpath(*name.split("."))
    file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    return ast.parse(file.read_text(encoding="utf-8"))


def imported_modules(tree: ast.AST) -> Iterator[str]:
    """Yield every module that is imported anywhere, also inside functions and for type checking only."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")


def part_of(name: str) -> str:
    return name.split(".")[1] if "." in name else ""


MODULES = module_names()
SUBMODULES = [name for name in MODULES if name != "explorer"]


def test_every_part_has_its_row() -> None:
    assert {part_of(name) for name in SUBMODULES} <= ROW_OF.keys()


@pytest.mark.parametrize("name", SUBMODULES)
def test_imports_point_left_only(name: str) -> None:
    own = part_of(name)
    for other in imported_modules(tree_of(name)):
        assert not other.startswith("."), "imports name their module in full"
        if other.split(".")[0] != "explorer":
            continue
        assert other != "explorer", "a module imports from where a name lives"
        part = part_of(other)
        assert part == own or ROW_OF[part] < ROW_OF[own], f"{name} imports {other}"
        assert own not in PARTS_WITHOUT_SCREEN or part in PARTS_WITHOUT_SCREEN[own] | {own}


@pytest.mark.parametrize("name", [name for name in MODULES if part_of(name) != "widgets"])
def test_only_widgets_import_widget_libraries(name: str) -> None:
    assert not {other.split(".")[0] for other in imported_modules(tree_of(name))} & WIDGET_LIBRARIES


def test_import_explorer_loads_no_heavy_library() -> None:
    code = "import sys, explorer; print(*{name.partition('.')[0] for name in sys.modules})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "explorer" in done.stdout.split()
    assert not set(done.stdout.split()) & NOT_LOADED_BY_IMPORT


def test_command_answers_without_loading_pandas() -> None:
    code = "import sys, explorer.command; print(*{name.partition('.')[0] for name in sys.modules})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not set(done.stdout.split()) & NOT_LOADED_BY_IMPORT


def test_every_lazy_name_can_be_had() -> None:
    for name in explorer.__all__:
        assert getattr(explorer, name) is not None
    with pytest.raises(AttributeError, match="no name 'stations'"):
        _ = explorer.stations  # type: ignore[attr-defined]


def test_lazy_names_are_those_that_type_checkers_see() -> None:
    block = next(node for node in tree_of("explorer").body if isinstance(node, ast.If))
    seen = {
        alias.asname: node.module
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert seen == explorer._HOMES
    assert sorted(seen) == sorted(explorer.__all__)


def public_definitions(name: str) -> list[str]:
    kinds = (ast.FunctionDef, ast.ClassDef, ast.AsyncFunctionDef)
    return [n.name for n in tree_of(name).body if isinstance(n, kinds) and not n.name.startswith("_")]


@pytest.mark.parametrize("name", MODULES)
def test_all_is_declared_and_true(name: str) -> None:
    module = importlib.import_module(name)
    if not hasattr(module, "__all__"):
        assert [type(node) for node in tree_of(name).body] in ([ast.Expr], []), f"{name} declares no __all__"
        return
    assert [each for each in module.__all__ if not hasattr(module, each)] == []
    assert len(set(module.__all__)) == len(module.__all__)
    assert set(public_definitions(name)) <= set(module.__all__), "a name outside __all__ starts with _"


def public_objects(*parts: str) -> list[tuple[str, object]]:
    """Return public functions and classes, and the public methods of classes, where they are defined."""
    found: list[tuple[str, object]] = []
    for name in SUBMODULES:
        if part_of(name) in parts:
            module = importlib.import_module(name)
            for each in public_definitions(name):
                thing = getattr(module, each)
                found.append((f"{name}.{each}", thing))
                if inspect.isclass(thing):
                    found += [
                        (f"{name}.{each}.{method}", getattr(thing, method))
                        for method, value in vars(thing).items()
                        if not method.startswith("_")
                        and (inspect.isfunction(value) or isinstance(value, property))
                    ]
    return found


def ids(found: list[tuple[str, object]]) -> list[str]:
    return [name.removeprefix("explorer.") for name, _ in found]


def plain_functions(*parts: str) -> list[tuple[str, object]]:
    return [
        (name, thing)
        for name, thing in public_objects(*parts)
        if inspect.isfunction(thing) and thing.__qualname__ == thing.__name__
    ]


EVERYTHING = public_objects(*ROW_OF)
COMPUTING = plain_functions("model", "analysis")
FUNCTIONS_OF_ANALYSIS = plain_functions("analysis")


@pytest.mark.parametrize(("name", "thing"), EVERYTHING, ids=ids(EVERYTHING))
def test_public_name_has_a_docstring(name: str, thing: object) -> None:
    assert (inspect.getdoc(thing) or "").strip(), name


@pytest.mark.parametrize(("name", "thing"), COMPUTING, ids=ids(COMPUTING))
def test_computing_function_has_an_example_that_is_run(name: str, thing: object) -> None:
    """A function of whole tables or of our own values may be named in a test instead."""
    assert inspect.isfunction(thing)
    annotations = {str(each.annotation) for each in inspect.signature(thing).parameters.values()}
    if ">>> " not in (inspect.getdoc(thing) or ""):
        assert any("DataFrame" in each or "explorer." in each for each in annotations), (
            f"{name} has no example"
        )
        word = re.compile(rf"\b{thing.__name__}\b")
        tests = (ROOT / "tests" / part_of(name)).glob("test_*.py")
        assert any(word.search(path.read_text()) for path in tests), f"{name} has neither example nor test"


def parameters_of(docstring: str) -> dict[str, tuple[str, str]]:
    """Return type line and description of each parameter of a numpy-style docstring."""
    section = re.search(r"^Parameters\n-{10}\n(.*?)(?=^\w[^\n]*\n-{3,}\n|\Z)", docstring, re.M | re.S)
    found = {}
    if section:
        for entry in re.finditer(r"^(\S[^\n]*?) : ([^\n]*)\n((?:[ \t][^\n]*\n?|\n)*)", section[1], re.M):
            for parameter in entry[1].split(", "):
                found[parameter.lstrip("*")] = (entry[2], entry[3])
    return found


def test_parameters_of_a_docstring_are_found() -> None:
    text = "One.\n\nParameters\n----------\na, *b : float\n    Two. [m]\n\nReturns\n-------\nint : x\n    No."
    assert parameters_of(text) == dict.fromkeys("ab", ("float", "    Two. [m]\n\n"))


NUMBERS = re.compile(r"\b(float|Series|ArrayLike|NDArray|ndarray|Floats)\b")
NO_NUMBERS = re.compile(r"\b(str|object|bool|bool_|int|int64|intp|datetime64)\b")


@pytest.mark.parametrize(("name", "function"), FUNCTIONS_OF_ANALYSIS, ids=ids(FUNCTIONS_OF_ANALYSIS))
def test_numeric_parameter_says_its_unit(name: str, function: object) -> None:
    assert inspect.isfunction(function)
    documented = parameters_of(inspect.getdoc(function) or "")
    for parameter, value in inspect.signature(function).parameters.items():
        annotation = inspect.formatannotation(value.annotation)
        assert parameter in documented, f"{name}: {parameter} is not documented"
        kind, description = documented[parameter]
        if NUMBERS.search(annotation) and not NO_NUMBERS.search(kind + annotation):
            assert re.search(r"\[[^\]]+\]", description), f"{name}: {parameter} has no unit"


def declared(*groups: str) -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    lines = [
        *project["dependencies"],
        *(line for g in groups for line in project["optional-dependencies"][g]),
    ]
    return {re.split(r"[^\w-]", line)[0].casefold().replace("_", "-") for line in lines}


def distributions_of(paths: list[Path]) -> set[str]:
    names = {name.split(".")[0] for path in paths for name in imported_modules(ast.parse(path.read_text()))}
    local = {path.stem for path in paths} | {"explorer"}
    known = packages_distributions()
    return {
        known[name][0].casefold().replace("_", "-")
        for name in names - local - set(sys.stdlib_module_names)
        if name in known  # "" is a relative import
    }


def test_package_imports_what_is_declared_and_declares_what_it_uses() -> None:
    used = distributions_of(sorted(PACKAGE.rglob("*.py")))
    assert used - declared() - {"traitlets", "ipython", "shapely"} == set()  # these come with others
    assert declared() - used - DISTRIBUTIONS_WITHOUT_IMPORT.keys() == set()


def test_tests_import_what_is_declared() -> None:
    used = distributions_of([*(ROOT / "tests").rglob("*.py"), *(ROOT / "demo_geo").rglob("*.py")])
    assert used - declared("test", "lab") - {"traitlets", "ipython", "shapely", "nbformat"} == set()


def test_every_dependency_has_its_line_for_contributors() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text()
    assert [name for name in sorted(declared()) if f"`{name}`" not in guide] == []


def test_module_is_importable_by_name() -> None:
    assert all(isinstance(importlib.import_module(name), ModuleType) for name in MODULES)
