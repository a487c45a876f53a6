"""Air in, fuel in, power out."""

from __future__ import annotations

from math import pi


def air_flow_l_s(displacement_cc: float, rpm: float, volumetric_efficiency: float) -> float:
    """Air that a four-stroke engine draws, L/s at intake density.

    displacement * rpm / 2 * volumetric efficiency (a fraction: 0.85, not 85).
    Source: Heywood eq. 2.27, solved for the volume flow.
    """
    return displacement_cc / 1000 * (rpm / 60) / 2 * volumetric_efficiency


def injector_need_g_s(power_kw: float, bsfc_g_per_kwh: float, injectors: int, duty: float) -> float:
    """Fuel that each injector must pass when fully open, g/s.

    power * brake specific fuel consumption / (injectors * duty); ``duty`` is the share of time
    that an injector may be open (0.8, not 80). Mass, not volume: no fuel density is hidden here.
    Source: Heywood eq. 2.22 (definition of specific fuel consumption).
    """
    return power_kw * bsfc_g_per_kwh / 3600 / (injectors * duty)


def power_kw(torque_nm: float, rpm: float) -> float:
    """Power from torque, kW: 2 pi * revolutions per second * torque, with no rounded constant.

    Source: Heywood eq. 2.13.
    """
    return 2 * pi * (rpm / 60) * torque_nm / 1000
