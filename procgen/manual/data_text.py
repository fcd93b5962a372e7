"""Data as text that a page, or a script file beside it, can hold."""

import json

from markupsafe import Markup


def in_page(data: object) -> Markup:
    """JSON with no `<` in it."""
    return Markup(in_script(data))  # noqa: S704 - JSON with no `<` cannot end the element that holds it


def in_script(data: object) -> str:
    """A literal of the language of scripts, in one line.

    No `<`, so that no title can end a script element wherever this text may land; no line end that JSON lets be.
    """
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
