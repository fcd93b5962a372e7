"""Sizes of heads and nuts by thread diameter. Data only; spanners.py and bearing.py read it.

Metric: ISO 4014/4017 (hex), ISO 4032 (nut), ISO 4762 (socket), EN 1662 and EN 1665
(flange, small and normal series), DIN 931/933 and the ISO 273 holes, as sifted in
tests/reference/hex_sizes.csv. dw of EN 1665: boltport.com, table of EN 1665; dw of
ISO 4762: geartoolkit.com, table of ISO 4762; dw of EN 1662: from memory.
Unified: ASME B18.2.1 flats read on astma193gradeb7.com, ASME B18.3 keys and heads on
aftfasteners.com and fastenrsc.com, hex heads of numbered sizes (B18.6.3) on
adfastcomponents.com; nuts (B18.2.2), machine screw nuts and flange heads (IFI-111)
from memory.
"""

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class Head(StrEnum):
    """What the spanner or key goes on."""

    HEX = "hex"
    """Hexagon bolt or screw, ISO 4014 and 4017, ASME B18.2.1."""
    NUT = "nut"
    """Hexagon nut on a stud or bolt, ISO 4032, ASME B18.2.2."""
    FLANGE = "flange"
    """Hexagon with flange, normal series, EN 1665, IFI-111."""
    SMALL_FLANGE = "small flange"
    """Hexagon with flange, small series, EN 1662; metric only."""
    SOCKET = "socket"
    """Socket head cap screw, ISO 4762, ASME B18.3."""
    TORX = "torx"
    """Hexalobular socket on a cylindrical head, ISO 14579: bears like ISO 4762."""
    SLOTTED = "slotted"
    OTHER = "other"
    """No size is known; bearing faces go by rule of thumb."""


def head_named(text: str) -> Head | None:
    """The head that an author means; None where it is no solid bolt (banjo, clip) or unknown.

    A hollow banjo bolt breaks long before a solid one of its thread: it has no band.
    """
    return next((head for head in Head if head == text.strip().lower()), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class MetricHead:
    """Sizes in mm for one metric diameter; None where the standards have none."""

    hex: float | None = None
    nut: float | None = None
    key: float | None = None
    small_flange: float | None = None
    flange: float | None = None
    din_hex: float | None = None
    """Across flats of the old DIN 931/933."""
    hex_dw: float | None = None
    """Least washer-face diameter under a hexagon head, ISO 4014."""
    hole: float
    """Clearance hole, ISO 273 medium."""
    flange_dw: float | None = None
    small_flange_dw: float | None = None
    socket_dw: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnifiedHead:
    """Sizes in inches, as spanners are marked; None where the standards have none."""

    hex: str | None = None
    nut: str | None = None
    key: str | None = None
    flange: str | None = None
    hex_min: float | None = None
    """Least width across flats of a hex cap screw."""
    socket_min: float | None = None
    """Least diameter of a socket head."""


METRIC_HEADS = MappingProxyType(
    {
        3: MetricHead(hex=5.5, nut=5.5, key=2.5, din_hex=5.5, hex_dw=4.57, hole=3.4, socket_dw=5.07),
        3.5: MetricHead(hex=6, nut=6, din_hex=6, hex_dw=5.07, hole=3.9),
        4: MetricHead(hex=7, nut=7, key=3, din_hex=7, hex_dw=5.88, hole=4.5, socket_dw=6.53),
        5: MetricHead(
            hex=8, nut=8, key=4, din_hex=8, small_flange=7, flange=8,
            hex_dw=6.88, hole=5.5, flange_dw=9.8, small_flange_dw=9.4, socket_dw=8.03,
        ),
        6: MetricHead(
            hex=10, nut=10, key=5, din_hex=10, small_flange=8, flange=10,
            hex_dw=8.88, hole=6.6, flange_dw=12.2, small_flange_dw=11.6, socket_dw=9.38,
        ),
        7: MetricHead(din_hex=11, hole=7.6),
        8: MetricHead(
            hex=13, nut=13, key=6, din_hex=13, small_flange=10, flange=13,
            hex_dw=11.63, hole=9, flange_dw=15.8, small_flange_dw=14.9, socket_dw=12.33,
        ),
        10: MetricHead(
            hex=16, nut=16, key=8, din_hex=17, small_flange=13, flange=16,
            hex_dw=14.63, hole=11, flange_dw=19.6, small_flange_dw=18.7, socket_dw=15.33,
        ),
        12: MetricHead(
            hex=18, nut=18, key=10, din_hex=19, small_flange=16, flange=18,
            hex_dw=16.63, hole=13.5, flange_dw=23.8, small_flange_dw=22.5, socket_dw=17.23,
        ),
        14: MetricHead(
            hex=21, nut=21, key=12, din_hex=22, small_flange=18, flange=21,
            hex_dw=19.37, hole=15.5, flange_dw=27.6, small_flange_dw=26.4, socket_dw=20.17,
        ),
        16: MetricHead(
            hex=24, nut=24, key=14, din_hex=24, small_flange=21, flange=24,
            hex_dw=22.49, hole=17.5, flange_dw=31.9, small_flange_dw=30.6, socket_dw=23.17,
        ),
        18: MetricHead(hex=27, nut=27, din_hex=27, hex_dw=25.34, hole=20),
        20: MetricHead(
            hex=30, nut=30, key=17, din_hex=30, flange=30,
            hex_dw=28.19, hole=22, flange_dw=39.9, socket_dw=28.87,
        ),
        22: MetricHead(hex=34, nut=34, din_hex=32, hex_dw=31.71, hole=24),
        24: MetricHead(hex=36, nut=36, key=19, din_hex=36, hex_dw=33.61, hole=26, socket_dw=34.81),
        27: MetricHead(hex=41, nut=41, din_hex=41, hex_dw=38.00, hole=30),
        30: MetricHead(hex=46, nut=46, key=22, din_hex=46, hex_dw=42.75, hole=33, socket_dw=43.61),
        33: MetricHead(hex=50, nut=50, din_hex=50, hex_dw=46.55, hole=36),
        36: MetricHead(hex=55, nut=55, key=27, din_hex=55, hex_dw=51.11, hole=39, socket_dw=52.54),
        39: MetricHead(hex=60, nut=60, din_hex=60, hex_dw=55.86, hole=42),
    }
)  # fmt: skip
"""By nominal diameter in mm."""

UNIFIED_HEADS = MappingProxyType(
    {
        "#4": UnifiedHead(nut="1/4", key="3/32"),
        "#6": UnifiedHead(hex="1/4", nut="5/16", key="7/64"),
        "#8": UnifiedHead(hex="1/4", nut="11/32", key="9/64"),
        "#10": UnifiedHead(hex="5/16", nut="3/8", key="5/32", socket_min=0.303),
        "#12": UnifiedHead(hex="5/16", nut="7/16"),
        "1/4": UnifiedHead(hex="7/16", nut="7/16", key="3/16", flange="3/8", hex_min=0.428, socket_min=0.365),
        "5/16": UnifiedHead(hex="1/2", nut="1/2", key="1/4", flange="1/2", hex_min=0.489, socket_min=0.457),
        "3/8": UnifiedHead(hex="9/16", nut="9/16", key="5/16", flange="9/16", hex_min=0.551, socket_min=0.550),
        "7/16": UnifiedHead(hex="5/8", nut="11/16", key="3/8", flange="5/8", hex_min=0.612, socket_min=0.642),
        "1/2": UnifiedHead(hex="3/4", nut="3/4", key="3/8", flange="3/4", hex_min=0.736, socket_min=0.735),
        "9/16": UnifiedHead(hex="13/16", nut="7/8", flange="13/16", hex_min=0.798),
        "5/8": UnifiedHead(hex="15/16", nut="15/16", key="1/2", flange="15/16", hex_min=0.922, socket_min=0.921),
        "3/4": UnifiedHead(hex="1-1/8", nut="1-1/8", key="5/8", flange="1-1/8", hex_min=1.100, socket_min=1.107),
        "7/8": UnifiedHead(hex="1-5/16", nut="1-5/16", key="3/4", hex_min=1.285, socket_min=1.291),
        "1": UnifiedHead(hex="1-1/2", nut="1-1/2", key="3/4", hex_min=1.469, socket_min=1.476),
        "1-1/8": UnifiedHead(hex="1-11/16", nut="1-11/16", hex_min=1.631),
        "1-1/4": UnifiedHead(hex="1-7/8", nut="1-7/8", hex_min=1.812),
        "1-3/8": UnifiedHead(hex="2-1/16", nut="2-1/16", hex_min=1.994),
        "1-1/2": UnifiedHead(hex="2-1/4", nut="2-1/4", hex_min=2.175),
    }
)
"""By the name before the dash of the designation."""
