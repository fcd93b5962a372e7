"""Reading a page as a person sees it: the words of an element, without the marks."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

import html5lib

INLINE = frozenset({"a", "abbr", "b", "code", "em", "i", "small", "span", "strong", "sub", "sup"})


def tree(html: str) -> Element:
    """The page as a tree; a page that breaks the HTML standard is an error."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    root: Element = parser.parse(html)
    return root


def name_of(element: Element) -> str:
    """The name of an element, drawings' too; empty for a comment."""
    tag: object = element.tag  # html5lib puts a function there for a comment
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def elements(html: str | Element, name: str = "", **attributes: str) -> Iterator[Element]:
    """Every element of that name, or of any, with those attributes (`class_` is one of its classes)."""
    for element in (tree(html) if isinstance(html, str) else html).iter():
        if not name_of(element) or (name and name_of(element) != name):
            continue
        wanted = attributes.get("class_")
        if wanted and wanted not in (element.get("class") or "").split():
            continue
        if all(element.get(key) == value for key, value in attributes.items() if key != "class_"):
            yield element


def words(element: Element) -> str:
    """The text of an element in one line; what stands in a block of its own is set off by a space."""
    return " ".join("".join(_pieces(element)).split())


def _pieces(element: Element) -> Iterator[str]:
    gap = "" if name_of(element) in INLINE else " "
    yield gap
    yield element.text or ""
    for child in element:
        yield from _pieces(child)
        yield child.tail or ""
    yield gap


def texts(html: str | Element, name: str = "", **attributes: str) -> list[str]:
    """The words of every such element."""
    return [words(element) for element in elements(html, name, **attributes)]
