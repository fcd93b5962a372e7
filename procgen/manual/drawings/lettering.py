"""Text in drawings: about how wide it comes out, and breaking it into lines. SVG itself does neither."""

# Widths of a plain grotesque in thousandths of its size; letters of about one width share a row.
_WIDTHS = {
    **dict.fromkeys("ijl.,:;'|!", 250),
    **dict.fromkeys("ft()[]/ -rI", 320),
    **dict.fromkeys("ckJsvxyz", 500),
    **dict.fromkeys("mw", 800),
    **dict.fromkeys("ABEKPSVXY", 680),
    **dict.fromkeys("CDGHNOQRUMW", 760),
}
_USUAL = 570


def width(text: str, size: float) -> float:
    """About how wide a text is, in the unit of its size."""
    return sum(_WIDTHS.get(letter, _USUAL) for letter in text) * size / 1000


def broken(text: str, size: float, widest: float) -> tuple[str, ...]:
    """The text in lines that are no wider than that, broken at spaces; a longer word stands alone."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= widest:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines) or ("",)
