"""The page for finding things, and the list that its script looks through.

The list is a script file and no JSON: a page that was opened from a disk may run a script beside it, and may not fetch.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass

from procgen.library.items import Fastener, Record
from procgen.library.machine import Procedure
from procgen.manual import paths
from procgen.manual.book import Book, Leaf, Link
from procgen.manual.page import Page
from procgen.manual.words import named_records


@dataclass(frozen=True, slots=True, kw_only=True)
class FindView:
    """All that the template shows."""

    title: str
    words: Link
    """Where to look without a script."""


def pages(book: Book) -> Iterator[Page]:
    """The page and its list."""
    leaf = book.leaf(paths.FIND)
    view = FindView(title="Find", words=Link("index", leaf.href(paths.WORDS)))
    scripts = (paths.INDEX_SCRIPT, "theme/scripts/find.js")
    yield leaf.page("find.html", view, title=view.title, scripts=scripts)
    yield Page(paths.INDEX_SCRIPT, index_script(leaf))


def index_script(leaf: Leaf) -> str:
    """The list as a script: rows of title, number, kind, href, and further words under which it is found."""
    rows = [_row(record, kind, leaf) for record, kind in named_records(leaf)]
    # "<" is written as an escape, so that no title can end a script element wherever this text may land.
    body = ",\n".join(json.dumps(row, ensure_ascii=False).replace("<", "\\u003c") for row in rows)
    body = body.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
    return f"globalThis.manualIndex = [\n{body}\n];\n"


def _row(record: Record, kind: str, leaf: Leaf) -> list[str]:
    link = leaf.record(record)
    return [link.title, link.number, kind, link.href, _more(record, leaf)]


def _more(record: Record, leaf: Leaf) -> str:
    words = [record.address.id, getattr(record, "number", "")]
    scope = leaf.library.machines.get(record.address.scope)
    words.append(scope.title if scope else "")
    if isinstance(record, Procedure):
        words.append(leaf.plain(record.summary, record.machine))
        words.append(record.machine.title if not record.is_bare else "")
    if isinstance(record, Fastener):
        words.append(record.thread)
        words.append(leaf.book.measures.torque_line(record.torque) if record.torque else "")
    return " ".join(dict.fromkeys(word for word in words if word))
