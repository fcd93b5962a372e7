"""The architecture: a layer imports only itself and layers to its left, and no modules import each other in a ring."""

import ast
from pathlib import Path

import networkx

PACKAGE = Path(__file__).parent.parent / "procgen"

LAYERS = (
    {"finding", "hands", "memo", "program", "__init__"},
    {"measure"},
    {"fasteners"},
    {"library"},
    {"plan"},
    {"upkeep"},
    {"checks"},
    {"sheet"},
    {"manual", "report"},
    {"output"},
    {
        "flow",
        "explain",
        "starter",
        "torque_answer",
        "job_answer",
        "visits_answer",
        "record",
        "watch",
        "arguments",
        "cli",
    },
)
RANK = {name: rank for rank, layer in enumerate(LAYERS) for name in layer}


def modules() -> dict[str, Path]:
    return {
        ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
        for path in PACKAGE.rglob("*.py")
    }


def imports() -> networkx.DiGraph:
    """Every import of a module by a module, those inside functions and under TYPE_CHECKING too: rings hide there."""
    known = modules()
    graph = networkx.DiGraph()
    graph.add_nodes_from(known)
    for name, path in known.items():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                targets = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom) and node.module:
                targets = [
                    inner if (inner := f"{node.module}.{alias.name}") in known else node.module for alias in node.names
                ]
            else:
                continue
            graph.add_edges_from((name, target) for target in targets if target in known)
    return graph


def layer_of(module: str) -> str:
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def test_every_module_lies_in_a_layer() -> None:
    assert {layer_of(module) for module in modules()} <= set(RANK)


def test_a_layer_imports_only_itself_and_the_layers_to_its_left() -> None:
    wrong = [
        f"{importer} imports {imported}"
        for importer, imported in imports().edges
        if RANK[layer_of(imported)] > RANK[layer_of(importer)]
        or (
            RANK[layer_of(imported)] == RANK[layer_of(importer)]
            and {layer_of(imported), layer_of(importer)} == {"manual", "report"}
        )
    ]
    assert wrong == []


def test_no_modules_import_each_other_in_a_ring() -> None:
    assert [ring for ring in networkx.strongly_connected_components(imports()) if len(ring) > 1] == []


def test_only_the_commands_print() -> None:
    printing = [
        name
        for name, path in modules().items()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and ast.unparse(node.func) in ("print", "click.echo")
    ]
    assert set(printing) <= {"procgen.cli"}
