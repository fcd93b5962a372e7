"""What `procgen torque` answers: what a bolt takes, a torque in every unit, what to set on a wrench. Text only."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from procgen.fasteners.friction import ThreadCondition
from procgen.fasteners.head_sizes import Head, head_named
from procgen.fasteners.misreading import TorqueUnit
from procgen.fasteners.spanners import Grip, spanner_for
from procgen.fasteners.strength import StrengthError, strength_of
from procgen.fasteners.stripping import Material, StrippingLimit, material_named, stripping_limit
from procgen.fasteners.threads import Thread, ThreadError, parse_thread
from procgen.fasteners.tightening import LOW_SHARE, Band, Verdict, band_without_class, tightening_band, verdict
from procgen.fasteners.wrench import wrench_setting_nm
from procgen.measure.error import MeasureError
from procgen.measure.quantity import Quantity, exactly, parse_quantity
from procgen.measure.typeset import render, show
from procgen.measure.unit_table import Dimension

EXAMPLES = "M8 8.8 oiled, 3/8-16 UNC grade 5 dry, M8 8.8 dry into aluminium 12 mm, or a torque such as 22 N·m"


class QuestionError(ValueError):
    """A question that cannot be understood, with what could have been meant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Question:
    """What the words on the command line say."""

    thread: Thread | None = None
    grade: str = ""
    condition: ThreadCondition = ThreadCondition.UNKNOWN
    head: Head = Head.HEX
    figure: Quantity | None = None
    material: Material | None = None
    engagement: Quantity | None = None


def answer(words: Sequence[str], *, wrench: str = "", adapter: str = "", angle: str = "") -> str:
    """The answer to `words`, which name a bolt, a torque, or both, in lines that end with a line feed.

    wrench: its length from grip to drive; adapter: from drive to fastener; angle: between the two, in line where empty.
    Raises QuestionError, whose text is for people.
    """
    question = _understood(" ".join(words).split())
    lines: list[str] = []
    if question.thread:
        lines += _band_lines(question, question.thread)
    if wrench or adapter or angle:
        lines += _setting_lines(question.figure, wrench, adapter, angle)
    elif question.figure and not question.thread:
        lines += _unit_lines(question.figure)
    if not lines:
        raise QuestionError(f"say what is tightened, or how much: {EXAMPLES}.")
    return "\n".join(lines) + "\n"


# Understanding the question

_Reader = Callable[[_Question, str], _Question | None]
_LONGEST = 4


def _understood(words: list[str]) -> _Question:
    question = _Question()
    while words:
        for length in range(min(_LONGEST, len(words)), 0, -1):
            found = _read(question, " ".join(words[:length]))
            if found:
                question, words = found, words[length:]
                break
        else:
            raise QuestionError(_not_understood(words[0], question))
    return question


def _read(question: _Question, text: str) -> _Question | None:
    return next((found for reader in _READERS if (found := reader(question, text))), None)


def _thread(question: _Question, text: str) -> _Question | None:
    if question.thread:
        return None
    try:
        return replace(question, thread=parse_thread(text))
    except ThreadError:
        return None


def _grade(question: _Question, text: str) -> _Question | None:
    if question.thread is None or question.grade:
        return None
    try:
        strength_of(text, question.thread.d_mm)
    except StrengthError as error:
        if "made up to" in str(error):
            raise QuestionError(str(error)) from None
        return None
    return replace(question, grade=text)


def _condition(question: _Question, text: str) -> _Question | None:
    word = text.lower().removeprefix("threads ")
    return replace(question, condition=ThreadCondition(word)) if word in set(ThreadCondition) else None


def _head(question: _Question, text: str) -> _Question | None:
    head = head_named(text.removesuffix(" head"))
    return replace(question, head=head) if head else None


def _material(question: _Question, text: str) -> _Question | None:
    material = material_named(text.removeprefix("into "))
    return replace(question, material=material) if material else None


def _measured(question: _Question, text: str) -> _Question | None:
    try:
        quantity = parse_quantity(text)
    except MeasureError:
        return None
    match quantity.dimension:
        case Dimension.TORQUE if not quantity.is_limit and quantity.middle > 0:
            return replace(question, figure=quantity)
        case Dimension.LENGTH if not quantity.is_limit and quantity.middle > 0:
            return replace(question, engagement=quantity)
        case _:
            return None


_READERS: tuple[_Reader, ...] = (_measured, _thread, _grade, _condition, _head, _material)


def _not_understood(word: str, question: _Question) -> str:
    if question.thread is None and word.replace(".", "", 1).isdigit():
        return f"{word} says neither of what nor what it is: write a torque with its unit, {word} N·m, or {EXAMPLES}."
    if question.thread is None and question.figure is None:
        try:
            parse_thread(word)
        except ThreadError as error:
            return f"{error} Write {EXAMPLES}."
    if question.thread:
        try:
            strength_of(word, question.thread.d_mm)
        except StrengthError as error:
            conditions = ", ".join(each for each in ThreadCondition if each is not ThreadCondition.UNKNOWN)
            return f"{error} Threads are {conditions}; heads are {', '.join(Head)}."
    return f'"{word}" is not understood here; write {EXAMPLES}.'


# Answering it


def _band_lines(question: _Question, thread: Thread) -> list[str]:
    if question.grade:
        bolt = tightening_band(thread, question.grade, question.condition, question.head)
        grade = strength_of(question.grade, thread.d_mm).name
        grade = f"class {grade}" if grade[0].isdigit() else grade
    else:
        bolt = band_without_class(thread, question.condition, question.head)
        grade = "any class in common use"
    threads = "anything" if question.condition is ThreadCondition.UNKNOWN else question.condition
    hole = _hole(question, thread)
    lines = [
        f"{thread.designation}, {grade}, {threads} on the threads, {question.head} head",
        "",
        _row("90 % of yield at", _both(bolt.low_nm, bolt.high_nm), f"friction {bolt.mu_low:g} to {bolt.mu_high:g}"),
        _row("it then clamps with", f"{bolt.preload_low_n / 1000:.3g} to {bolt.preload_high_n / 1000:.3g} kN"),
        _row("hardly clamps under", _one(LOW_SHARE * bolt.low_nm)),
    ]
    if hole and question.engagement:
        told = _both(hole.torque_low_nm, hole.torque_high_nm)
        lines.append(_row("the thread strips at", told, f"{hole.material}, {show(question.engagement)} of thread"))
    lines += _spanner_line(question, thread)
    if question.figure:
        lines += ["", *_judged_lines(question.figure, bolt, hole)]
    source = f"By VDI 2230; friction: {bolt.friction_source}."
    return [*lines, "", source, "The figure of the machine's maker goes before this one. New, clean threads."]


def _hole(question: _Question, thread: Thread) -> StrippingLimit | None:
    if question.material is None or question.engagement is None:
        return None
    engagement_mm = question.engagement.middle_in("mm")
    return stripping_limit(thread, question.material, engagement_mm, question.condition, question.head)


def _spanner_line(question: _Question, thread: Thread) -> list[str]:
    spanner = spanner_for(thread, question.head)
    if spanner is None:
        return []
    tool = "hexagon key" if spanner.grip is Grip.HEXAGON_KEY else "spanner"
    return [_row(tool, spanner.size, spanner.note or "")]


def _judged_lines(figure: Quantity, bolt: Band, hole: StrippingLimit | None) -> list[str]:
    low_nm, high_nm = (float(end or 0) for end in figure.limits_in("N·m"))
    shown = " = ".join(render(figure))
    if hole and high_nm > hole.torque_high_nm:
        return [f"{shown} strips the thread, whatever the friction."]
    if verdict(bolt, high_nm) is Verdict.OVER:
        return [f"{shown} stretches it beyond its yield, whatever the friction."]
    if verdict(bolt, low_nm) is Verdict.LOW:
        return [f"{shown} hardly clamps: {100 * low_nm / bolt.low_nm:.2g} % of the bottom of the band."]
    if high_nm > bolt.low_nm:
        return [
            f"{shown} is inside the band: it fits while the threads are rough, and is too much where they run smoothly."
        ]
    return [f"{shown} fits: {100 * high_nm / bolt.low_nm:.2g} % of what brings it to 90 % of yield in smooth threads."]


def _unit_lines(figure: Quantity) -> list[str]:
    return [f"{_digits(figure.to(each)):>14} {each}" for each in TorqueUnit]


def _digits(quantity: Quantity) -> str:
    ends = dict.fromkeys(end for end in (quantity.nominal, quantity.low, quantity.high) if end is not None)
    if quantity.is_toleranced and quantity.nominal is not None and quantity.high is not None:
        return f"{float(quantity.nominal):.4g} ± {float(quantity.high - quantity.nominal):.4g}"
    return " to ".join(f"{float(end):.4g}" for end in ends)


def _setting_lines(figure: Quantity | None, wrench: str, adapter: str, angle: str) -> list[str]:
    if figure is None:
        raise QuestionError("say how much the fastener gets, as in: 45 N·m --wrench 360mm --adapter 40mm.")
    if not (wrench and adapter):
        raise QuestionError(
            "a setting needs both lengths: --wrench from grip to drive, --adapter from drive to fastener"
        )
    try:
        handle_mm, adapter_mm = (_length_mm(length) for length in (wrench, adapter))
        degrees = parse_quantity(_in_degrees(angle), dimension=Dimension.ANGLE).middle_in("°")
        share = Fraction(wrench_setting_nm(1.0, handle_mm, adapter_mm, degrees)).limit_denominator(10**9)
    except ValueError as error:  # MeasureError is one
        raise QuestionError(f"{error}") from None
    middle = exactly(figure.middle * share, figure.unit, figure.resolution / 10)
    where = "in line" if degrees == 0 else f"at {degrees:g}°"
    return [f"Set the wrench to {' = '.join(render(middle))}, with the adapter {where}, to give {show(figure)}."]


def _length_mm(text: str) -> float:
    # A bare number is the millimetres that everybody measures a wrench in.
    return parse_quantity(
        f"{text} mm" if text.strip().replace(".", "", 1).isdigit() else text, dimension=Dimension.LENGTH
    ).middle_in("mm")


def _in_degrees(text: str) -> str:
    return f"{text or 0}°" if (text or "0").strip().lstrip("-").replace(".", "", 1).isdigit() else text


def _row(label: str, value: str, note: str = "") -> str:
    return f"  {label:<21}{value:<34}{note}".rstrip()


def _one(torque_nm: float) -> str:
    return " = ".join(render(_rounded(torque_nm)))


def _both(low_nm: float, high_nm: float) -> str:
    low, high = _rounded(low_nm), _rounded(high_nm)
    return " = ".join(render(replace(high, nominal=None, low=low.low, resolution=low.resolution)))


def _rounded(torque_nm: float) -> Quantity:
    """To whole N·m, or to tenths below ten."""
    places = 1 if torque_nm < 10 else 0
    return exactly(round(torque_nm, places), "N·m", Fraction(1, 10**places))
