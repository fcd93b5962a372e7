"""What is looked for in a page: elements, attributes, scripts and addresses that only a text can have made."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit
from xml.etree.ElementTree import Element

import html5lib

ADDRESSES = frozenset({"href", "src", "action", "formaction", "data", "poster", "srcset", "ping", "background"})
FETCHED = ADDRESSES - {"href"}
SCHEMES = frozenset({"", "http", "https", "mailto"})
FORBIDDEN = frozenset({"iframe", "object", "embed", "base", "frame", "applet", "style", "template", "noscript"})


def intrusions(page: Path) -> list[str]:
    """What in a page came from a text and is not text; empty where all is well."""
    tree = html5lib.parse(page.read_bytes(), namespaceHTMLElements=False)
    return [f"{page.name}: {what}" for element in tree.iter() for what in _in_element(element)]


STATE = re.compile(r"globalThis\.manualState = (\{.*\});\n")
CODE = re.compile(r"[a-z]+|c?\d+")


def intrusions_in_state(script: Path) -> list[str]:
    """The same of the script file that tells how the work of a sheet stands: a literal, and nothing else."""
    text = script.read_text(encoding="utf-8")
    literal = STATE.fullmatch(text)
    if literal is None or re.search(r"[<\u2028\u2029]", text):
        return [f"{script.name}: more than a literal"]
    state = json.loads(literal[1])
    names = [name for table in (state, *state.values()) if isinstance(table, dict) for name in table]
    found = [f"a name {name}" for name in names if not CODE.fullmatch(name)]
    for _, _, href in state["things"]:
        found.extend(_in_attribute("a", "href", href))
    return [f"{script.name}: {what}" for what in found]


def _in_element(element: Element) -> Iterator[str]:
    # html5lib gives a comment a function for its tag, and the templates write none.
    name = str(element.tag).rpartition("}")[2]
    if name in FORBIDDEN or "zq" in name or "function Comment" in name:
        yield f"an element <{name}>"
    if name == "script":
        yield from _in_script(element)
    if name == "meta" and element.get("http-equiv", "Content-Security-Policy") != "Content-Security-Policy":
        yield f"a meta element for {element.get('http-equiv')}"
    for attribute, value in element.items():
        yield from _in_attribute(name, attribute.rpartition("}")[2].lower(), value)


def _in_script(element: Element) -> Iterator[str]:
    if element.get("type") in ("application/json", "application/ld+json"):
        json.loads(element.text or "")
    elif element.text or not (element.get("src") or "").endswith(".js"):
        yield f"a script: {(element.text or '')[:60]}"


def _in_attribute(name: str, attribute: str, value: str) -> Iterator[str]:
    if attribute.startswith("on") or "zq" in attribute or attribute == "srcdoc":
        yield f"an attribute {attribute} of <{name}>"
    if attribute == "style" and "zq" in value:
        yield f"a style of <{name}>: {value[:60]}"
    if attribute in ADDRESSES:
        parts = urlsplit(value.strip())
        if parts.scheme.lower() not in SCHEMES or (not parts.scheme and parts.netloc):
            yield f"an address of <{name}>: {value[:60]}"
        if attribute in FETCHED and (parts.scheme or parts.netloc or "zq" in value):
            yield f"an address that is fetched by <{name}>: {value[:60]}"
