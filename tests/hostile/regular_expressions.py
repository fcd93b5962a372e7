"""Every regular expression of the program, found in its modules and in its text, with how each is put to a text."""

import ast
import importlib
import inspect
import json
import pkgutil
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import procgen

PACKAGE = Path(procgen.__file__).parent
FUNCTIONS = frozenset({"match", "search", "fullmatch", "sub", "subn", "split", "findall", "finditer"})
Pattern = re.Pattern[str] | re.Pattern[bytes]


@dataclass(frozen=True, slots=True)
class Use:
    """An expression, and one way in which the program runs it."""

    pattern: re.Pattern[str]
    function: str

    def run(self, text: str) -> None:
        match self.function:
            case "sub" | "subn":
                self.pattern.sub("", text)
            case "finditer":
                for _ in self.pattern.finditer(text):
                    pass
            case "match" | "search" | "fullmatch" | "split" | "findall":
                getattr(self.pattern, self.function)(text)
            case _:
                raise ValueError(self.function)


def every_use() -> dict[str, Use]:
    """By a name for the tests."""
    uses: dict[str, Use] = {}
    for info in pkgutil.walk_packages([str(PACKAGE)], "procgen."):
        module = importlib.import_module(info.name)
        tree = ast.parse(inspect.getsource(module))
        for name, value in vars(module).items():
            for number, pattern in enumerate(_within(value)):
                # In a table it is run under another name: then every way is tried.
                for function in sorted(_functions_on(name, tree) or FUNCTIONS):
                    uses[f"{info.name}.{name}[{number}].{function}"] = Use(_as_text(pattern), function)
        for number, (function, expression) in enumerate(_inline(tree)):
            if isinstance(expression, ast.Constant) and isinstance(expression.value, str):
                uses[f"{info.name} inline {number}.{function}"] = Use(
                    re.compile(expression.value, re.IGNORECASE), function
                )
    return uses


def built_inside_functions() -> set[str]:
    """Modules that put an expression together while they run."""
    return {
        path.relative_to(PACKAGE).as_posix()
        for path in sorted(PACKAGE.rglob("*.py"))
        for _, expression in _inline(ast.parse(path.read_text(encoding="utf-8")))
        if not isinstance(expression, ast.Constant)
    }


def schema_patterns() -> set[str]:
    """The expressions that the schemas hold text against."""
    files = (PACKAGE / "library" / "schemas").glob("*.json")
    return {pattern for file in files for pattern in _of_schema(json.loads(file.read_text(encoding="utf-8")))}


def _as_text(pattern: Pattern) -> re.Pattern[str]:
    if isinstance(pattern.pattern, str):
        return re.compile(pattern.pattern, pattern.flags)
    return re.compile(pattern.pattern.decode(), pattern.flags & (re.IGNORECASE | re.DOTALL | re.MULTILINE))


def _within(value: object) -> Iterator[Pattern]:
    match value:
        case re.Pattern():
            yield value
        case tuple() | list() | frozenset() | set():
            for each in value:
                yield from _within(each)
        case dict():
            for each in value.values():
                yield from _within(each)
        case _ if callable(value) and hasattr(value, "cache_info"):
            yield from _kept(value)
        case _:
            pass


def _kept(function: Callable[[], object]) -> Iterator[Pattern]:
    """An expression that is put together once, when it is first needed."""
    signature = inspect.signature(function)
    if not signature.parameters and signature.return_annotation == re.Pattern[str]:
        yield from _within(function())


def _functions_on(name: str, tree: ast.Module) -> set[str]:
    """The functions of an expression that are called by its name."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr in FUNCTIONS:
            owner = node.value.func if isinstance(node.value, ast.Call) else node.value
            if isinstance(owner, ast.Name) and owner.id == name:
                found.add(node.attr)
    return found


def _inline(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    """Every call of `re` inside a function: what is called, and the expression."""
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        for node in ast.walk(function):
            match node:
                case ast.Call(func=ast.Attribute(value=ast.Name(id="re"), attr=name), args=[expression, *_]) if (
                    name in FUNCTIONS | {"compile"}
                ):
                    yield name, expression
                case _:
                    pass


def _of_schema(schema: object) -> Iterator[str]:
    match schema:
        case Mapping():
            if isinstance(pattern := schema.get("pattern"), str):
                yield pattern
            for each in schema.values():
                yield from _of_schema(each)
        case list():
            for each in schema:
                yield from _of_schema(each)
        case _:
            pass
