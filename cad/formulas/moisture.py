"""Moisture of wood in equilibrium with the air round it.

Source: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, ch. 4: table 4-2 and the
Hailwood-Horrobin form fitted to it (eq. 4-5), both from memory; they agree within 0.06 % at 21.1 °C.
"""

from __future__ import annotations

SOURCE = "Wood Handbook, FPL-GTR-190, table 4-2 and its Hailwood-Horrobin form, from memory"
ROOM_C = 21.1  # 70 °F


def equilibrium_percent(humidity_percent: float, celsius: float = ROOM_C) -> float:
    """Return the moisture content that wood comes to in air of a relative humidity, in per cent of dry mass.

    Raises ValueError outside 0 to 100 % or −1 to 120 °C, where the form was not fitted.

    >>> round(equilibrium_percent(50), 1), round(equilibrium_percent(65), 1)
    (9.2, 12.0)
    """
    if not (0 <= humidity_percent <= 100 and -1 <= celsius <= 120):
        raise ValueError(f"no equilibrium moisture for {humidity_percent:g} % at {celsius:g} °C")
    h, t = humidity_percent / 100, celsius
    w = 349 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    kh = k * h
    hydrates = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (kh / (1 - kh) + hydrates)


def humidity_percent(moisture_percent: float, celsius: float = ROOM_C) -> float:
    """Return the relative humidity at which wood keeps a moisture content: the inverse, found by halving.

    Moisture beyond what air can give comes out as 0 or 100 %.

    >>> round(humidity_percent(12.0), 0)
    65.0
    """
    low, high = 0.0, 100.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        if equilibrium_percent(middle, celsius) < moisture_percent:
            low = middle
        else:
            high = middle
    return (low + high) / 2
