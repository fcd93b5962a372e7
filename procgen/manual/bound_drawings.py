"""Drawings as WeasyPrint takes them: each with its own style, since it hands no style of the page on to a drawing."""

import re
from collections.abc import Mapping
from html import escape

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RULE = re.compile(r"(?<![^{}])([^{}]+)\{([^{}]*)\}")
_VARIABLE = re.compile(r"(?<![a-z-])(--[a-z-]+):\s*+([^;{}]+);")
_USE = re.compile(r"var\((--[a-z-]+)\)")
_FONT = re.compile(r"font: (?:(\d+) )?([\d.]+px)(?:/[\d.]+)? ([^;}]+)")
_DRAWN = ("fill", "stroke", "text-anchor")
_SVG = re.compile(r"<svg ((?!class=\"(?:alert|marks)\")[^>]*)>")
_ALERT = re.compile(r'(notice-(danger|warning|caution)".{0,80}?)<svg class="alert"[^>]*>.*?</svg>', re.DOTALL)
_ALERT_COLOURS = {"danger": ("#fff", "#c8102e"), "warning": ("#000", "#ff8200"), "caution": ("#000", "#ffd100")}
"""Field and mark on their panel, ANSI Z535.1; as in tokens.css."""


def drawing_style(sheets: Mapping[str, str]) -> str:
    """The rules for drawings out of a theme's style sheets, with the values that its variables have on paper.

    sheets: their texts by name, the printed page's among them as print.css.
    """
    # A variable counts as it is first said by day; what print.css says outranks it.
    values: dict[str, str] = {}
    for name, text in sheets.items():
        for variable, value in _VARIABLE.findall(_COMMENT.sub("", text)):
            if name == "print.css":
                values[variable] = value
            else:
                values.setdefault(variable, value)
    rules = []
    for text in sheets.values():
        for selector, body in _RULE.findall(_COMMENT.sub("", text).partition("@media")[0]):
            if any(word in body for word in _DRAWN):
                plain = _USE.sub(lambda use: values.get(use[1], ""), body).strip()
                rules.append(f"{selector.strip()} {{{_FONT.sub(_long, plain)}}}")
    return "\n".join(rules)


def _long(font: re.Match[str]) -> str:
    """A font in three properties: WeasyPrint's drawings do not know the short form."""
    weight, size, family = font.groups()
    return f"font-weight: {weight or 400}; font-size: {size}; font-family: {family}"


def with_own_style(html: str, style: str) -> str:
    """The page with that style in each of its drawings, and the safety alert symbol drawn where it is used."""
    html = _ALERT.sub(lambda found: found[1] + _alert(*_ALERT_COLOURS[found[2]]), html)
    return _SVG.sub(lambda found: f"<svg {found[1]}><style>{escape(style, quote=False)}</style>", html)


def _alert(field: str, mark: str) -> str:
    return (
        '<svg class="alert" viewBox="0 0 24 22" width="16" height="15">'
        f'<path fill="{field}" d="M12 1 23 21H1Z"/>'
        f'<path fill="none" stroke="{mark}" stroke-width="2.6" d="M12 7.5v7M12 17v1.8"/></svg>'
    )
