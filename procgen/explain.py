"""What `procgen explain` says: about a check, a kind of file, a key, or all that can be asked for."""

from collections.abc import Iterator

from procgen.checks import registry
from procgen.library.explain import RECORD, Entry, entries_of, every_entry, kind_summary, kinds
from procgen.library.near import offer


def explanation(name: str) -> str | None:
    """Markdown about `name`; the list of all names where it is empty; None where nothing has that name."""
    if not name:
        return _everything()
    sections = [*_check(name), *_kind(name), *_key(name)]
    return "\n".join(sections) if sections else None


def suggestion(name: str) -> str:
    """The names most like one that nothing has."""
    known = {*registry.slugs(), *kinds(), *(entry.name for entry in every_entry())}
    return offer(name, sorted(known), "`procgen explain` lists them all.")


def _everything() -> str:
    lines = ["# Checks", ""]
    family = ""
    for slug, (of, severity) in registry.slugs().items():
        if of != family:
            lines += ["", f"## {of}", ""]
            family = of
        lines.append(f"- `{slug}` ({severity}): {registry.summary(registry.help_page(slug))}")
    lines += ["", "# Kinds of file", ""]
    lines += [f"- `{kind}`: {kind_summary(kind)[0]}" for kind in kinds()]
    lines += ["", "# Keys", "", ", ".join(sorted({f"`{entry.name}`" for entry in every_entry()})), ""]
    return "\n".join(lines)


def _check(name: str) -> Iterator[str]:
    if name in registry.slugs():
        yield registry.help_page(name)


def _kind(name: str) -> Iterator[str]:
    if name not in kinds():
        return
    summary, entries = kind_summary(name)
    heading = "The record file that a sheet saves" if name == RECORD else f"Files that begin with `{name}:`"
    yield f"# {heading}\n\n{summary}\n"
    yield "\n".join(_row(entry) for entry in entries) + "\n"


def _row(entry: Entry) -> str:
    return f"- `{entry.name}`: {entry.description}"


def _key(name: str) -> Iterator[str]:
    entries = entries_of(name)
    if not entries:
        return
    yield f"# The key `{name}`\n"
    for entry in entries:
        yield f"## {entry.path}\n\n{entry.description}\n"
        yield f"- takes {entry.noun}"
        if entry.words:
            yield f"- one of {', '.join(f'`{word}`' for word in entry.words)}"
        if entry.default:
            yield f"- default: `{entry.default}`"
        if entry.example:
            yield f"\n```yaml\n{entry.example}\n```"
        yield ""
