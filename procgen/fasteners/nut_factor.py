"""The trade's short cut T = K F d, as a second opinion on a torque.

One factor K lumps the friction of thread and head together. Good to a quarter either way.
"""

from types import MappingProxyType

from procgen.fasteners.strength import Strength
from procgen.fasteners.threads import Thread

COMMON_USE = 0.75
"""Share of the proof load that inch charts tighten reusable joints to (Shigley, IFI charts)."""

NUT_FACTORS = MappingProxyType(
    {
        "nonplated, black finish": 0.30,
        "zinc-plated": 0.20,
        "lubricated": 0.18,
        "cadmium-plated": 0.16,
        "anti-seize compound": 0.12,
        "grip-type lock nut finish": 0.09,
    }
)
"""K by surface: Shigley's Mechanical Engineering Design, 9th ed., table 8-15."""


def proof_load_n(thread: Thread, strength: Strength) -> float:
    """Load in N that the bolt must bear without a set: stress area times proof stress."""
    return thread.stress_area_mm2 * strength.proof_mpa


def torque_from_preload_nm(preload_n: float, d_mm: float, k: float) -> float:
    """T = K F d in N·m. d_mm: nominal diameter."""
    return k * preload_n * d_mm / 1000


def preload_from_torque_n(torque_nm: float, d_mm: float, k: float) -> float:
    """F = T / (K d) in N. d_mm: nominal diameter."""
    return torque_nm * 1000 / (k * d_mm)


def usual_torque_nm(thread: Thread, strength: Strength, k: float = 0.20, use: float = COMMON_USE) -> float:
    """The torque that an inch chart would print: K F d at a share of the proof load."""
    return torque_from_preload_nm(use * proof_load_n(thread, strength), thread.d_mm, k)
