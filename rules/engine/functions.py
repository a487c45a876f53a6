"""The engine functions that rules may call, each with checked arguments.

``FUNCTIONS[name].call(*arguments)`` gives a finite number, or a ``Failure`` whose reason names
the argument and the range it must lie in. It raises nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite
from types import MappingProxyType
from typing import Final

from rules.engine import cam, compression, displacement, flow, springs, threads
from rules.values import Failure, Value, ValueKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One argument. ``unit`` as it is written (mm, N/mm) or None for a pure number.

    The value must be ``above`` the one and ``below`` the other (both excluded), ``least`` and
    ``most`` are included; None: no bound on that side.
    """

    name: str
    kind: ValueKind
    unit: str | None
    above: float | None = None
    least: float | None = None
    below: float | None = None
    most: float | None = None

    def bounds(self) -> str:
        """The range in words: ``greater than 0 and at most 1``."""
        pairs = (
            ("greater than", self.above),
            ("at least", self.least),
            ("less than", self.below),
            ("at most", self.most),
        )
        return " and ".join(f"{words} {bound:g}" for words, bound in pairs if bound is not None)

    def fault(self, value: Value) -> str | None:
        """What is wrong with ``value`` for this argument, or None."""
        if isinstance(value, (bool, str)) or (self.kind == "whole" and isinstance(value, float)):
            wanted = "a whole number" if self.kind == "whole" else "a number"
            return f"{self.name} must be {wanted}, not {value!r}"
        if not _is_finite(value):
            return f"{self.name} must be a finite number"
        if not self._holds(value):
            return f"{self.name} must be {self.bounds()}, not {value:g}"
        return None

    def _holds(self, value: float) -> bool:
        return (
            (self.above is None or value > self.above)
            and (self.least is None or value >= self.least)
            and (self.below is None or value < self.below)
            and (self.most is None or value <= self.most)
        )


def _is_finite(value: float) -> bool:
    try:
        return isfinite(value)
    except OverflowError:  # a whole number beyond the range of a double
        return False


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineFunction:
    """A function of numbers. ``kind`` and ``unit`` are the result's.

    ``sentence`` says in one plain sentence what it gives; ``source`` is the published text
    that the formula is taken from. ``formula`` trusts its arguments; ``call`` does not.
    """

    name: str
    parameters: tuple[Parameter, ...]
    kind: ValueKind
    unit: str | None
    formula: Callable[..., float | Failure]
    sentence: str
    source: str

    def call(self, *arguments: Value) -> float | int | Failure:
        """The value for ``arguments`` in the order of ``parameters``, or why there is none."""
        if len(arguments) != len(self.parameters):
            return Failure(f"{self.name} takes {len(self.parameters)} arguments")
        faults = [p.fault(value) for p, value in zip(self.parameters, arguments, strict=True)]
        said = [fault for fault in faults if fault is not None]
        if said:
            return Failure(f"{self.name}: {'; '.join(said)}")
        return self._compute(arguments)

    def _compute(self, arguments: tuple[Value, ...]) -> float | Failure:
        try:
            result = self.formula(*arguments)
        except (OverflowError, ZeroDivisionError):
            # Arguments in range but near the ends of a double: 1e200 squared, 1e-200 cubed.
            return Failure(f"{self.name}: the arguments are too large or too small to compute with")
        if isinstance(result, Failure):
            return Failure(f"{self.name}: {result.reason}")
        if not _is_finite(result):
            return Failure(f"{self.name}: the arguments are too large or too small to compute with")
        return float(result)


def _over_zero(name: str, unit: str | None, most: float | None = None) -> Parameter:
    return Parameter(name=name, kind="number", unit=unit, above=0, most=most)


def _from_zero(name: str, unit: str | None) -> Parameter:
    return Parameter(name=name, kind="number", unit=unit, least=0)


def _signed(name: str, unit: str | None) -> Parameter:
    return Parameter(name=name, kind="number", unit=unit)


def _event(name: str) -> Parameter:
    """A cam event: within half a turn of the crank either side of its dead centre."""
    return Parameter(name=name, kind="number", unit="deg", above=-180, below=180)


def _count(name: str) -> Parameter:
    return Parameter(name=name, kind="whole", unit=None, least=1)


def _number(
    formula: Callable[..., float | Failure],
    unit: str | None,
    parameters: tuple[Parameter, ...],
    *,
    sentence: str,
    source: str,
) -> EngineFunction:
    return EngineFunction(
        name=formula.__name__,
        parameters=parameters,
        kind="number",
        unit=unit,
        formula=formula,
        sentence=sentence,
        source=source,
    )


_HEYWOOD: Final = "J. B. Heywood, Internal Combustion Engine Fundamentals (1988)"
_SHIGLEY: Final = "J. E. Shigley, Mechanical Engineering Design"
_CAM_CARD: Final = "common practice of cam cards (a symmetrical lobe, all events at one lift)"
_BORE: Final = _over_zero("bore_mm", "mm")
_STROKE: Final = _over_zero("stroke_mm", "mm")
_LIFT: Final = _from_zero("valve_lift_mm", "mm")
_INSTALLED: Final = _over_zero("installed_height_mm", "mm")
_RPM: Final = _from_zero("rpm", "rpm")
_INTAKE: Final = (_event("io_btdc_deg"), _event("ic_abdc_deg"))
_EXHAUST: Final = (_event("eo_bbdc_deg"), _event("ec_atdc_deg"))

_ALL: Final = (
    _number(
        displacement.displacement_cc,
        "cc",
        (_BORE, _STROKE, _count("cylinders")),
        sentence="The volume that all pistons of a reciprocating engine sweep in one stroke.",
        source=f"{_HEYWOOD}, ch. 2",
    ),
    _number(
        displacement.swept_cc,
        "cc",
        (_BORE, _STROKE),
        sentence="The volume that one piston sweeps in one stroke.",
        source=f"{_HEYWOOD}, ch. 2",
    ),
    _number(
        compression.compression_ratio,
        None,
        (
            _BORE,
            _STROKE,
            _over_zero("chamber_cc", "cc"),
            _from_zero("gasket_thickness_mm", "mm"),
            _over_zero("gasket_bore_mm", "mm"),
            _signed("deck_mm", "mm"),
            _signed("dome_cc", "cc"),
        ),
        sentence="The cylinder's volume at bottom dead centre divided by that at top dead centre "
        "(a dome counts positive, a dish negative).",
        source=f"{_HEYWOOD}, eq. 2.1",
    ),
    _number(
        compression.effective_compression,
        None,
        (
            Parameter(name="static_ratio", kind="number", unit=None, above=1),
            _STROKE,
            _over_zero("rod_mm", "mm"),
            _event("intake_closes_abdc_deg"),
        ),
        sentence="The compression ratio counted from the point at which the intake valve closes.",
        source=f"{_HEYWOOD}, eq. 2.5 and 2.6",
    ),
    _number(
        cam.duration_deg,
        "deg",
        (_event("opens_before_deg"), _event("closes_after_deg")),
        sentence="How many degrees of crank a valve is open.",
        source=_CAM_CARD,
    ),
    _number(
        cam.lobe_centre_intake_deg,
        "deg",
        _INTAKE,
        sentence="The middle of the intake lobe, in degrees of crank after top dead centre.",
        source=_CAM_CARD,
    ),
    _number(
        cam.lobe_centre_exhaust_deg,
        "deg",
        _EXHAUST,
        sentence="The middle of the exhaust lobe, in degrees of crank before top dead centre.",
        source=_CAM_CARD,
    ),
    _number(
        cam.lobe_separation_deg,
        "deg",
        _INTAKE + _EXHAUST,
        sentence="The angle between the intake and exhaust lobe centres, in degrees of the cam.",
        source=_CAM_CARD,
    ),
    _number(
        cam.valve_overlap_deg,
        "deg",
        (_event("io_btdc_deg"), _event("ec_atdc_deg")),
        sentence="How many degrees of crank both valves are open; negative: both are closed.",
        source=_CAM_CARD,
    ),
    _number(
        cam.valve_lift_mm,
        "mm",
        (
            _over_zero("lobe_lift_mm", "mm"),
            _over_zero("rocker_ratio", None),
            _from_zero("lash_mm", "mm"),
        ),
        sentence="The lift at the valve: lobe lift times rocker ratio, less the lash.",
        source=_CAM_CARD,
    ),
    _number(
        springs.spring_open_height_mm,
        "mm",
        (_INSTALLED, _LIFT),
        sentence="The height of the valve spring at full lift.",
        source="geometry; common practice of spring cards",
    ),
    _number(
        springs.coil_bind_margin_mm,
        "mm",
        (_INSTALLED, _LIFT, _over_zero("solid_height_mm", "mm")),
        sentence="The travel left at full lift before the coils touch; negative: they bind first.",
        source="geometry; common practice of spring cards",
    ),
    _number(
        springs.spring_open_load_n,
        "N",
        (_from_zero("seat_load_n", "N"), _over_zero("rate_n_per_mm", "N/mm"), _LIFT),
        sentence="The load of the valve spring at full lift.",
        source="Hooke's law; common practice of spring cards",
    ),
    _number(
        springs.spring_rate_n_per_mm,
        "N/mm",
        (
            _over_zero("shear_modulus_mpa", "MPa"),
            _over_zero("wire_mm", "mm"),
            _over_zero("mean_diameter_mm", "mm"),
            _over_zero("active_coils", None),
        ),
        sentence="The rate of a helical compression spring of round wire.",
        source=f"{_SHIGLEY}, eq. 10-9",
    ),
    _number(
        threads.preload_turns,
        "turns",
        (_from_zero("preload_mm", "mm"), _over_zero("pitch_mm", "mm")),
        sentence="The turns of an adjuster that give a lifter preload on a thread of that pitch.",
        source="definition of the pitch of a single-start thread",
    ),
    _number(
        displacement.mean_piston_speed_m_s,
        "m/s",
        (_STROKE, _RPM),
        sentence="The mean speed of the piston.",
        source=f"{_HEYWOOD}, eq. 2.9",
    ),
    _number(
        flow.air_flow_l_s,
        "L/s",
        # The upper bound is far above any engine; it refuses a percentage for a fraction.
        (
            _over_zero("displacement_cc", "cc"),
            _RPM,
            _over_zero("volumetric_efficiency", None, most=5),
        ),
        sentence="The volume of air that a four-stroke engine draws.",
        source=f"{_HEYWOOD}, eq. 2.27",
    ),
    _number(
        flow.injector_need_g_s,
        "g/s",
        (
            _from_zero("power_kw", "kW"),
            _over_zero("bsfc_g_per_kwh", "g/kWh"),
            _count("injectors"),
            _over_zero("duty", None, most=1),
        ),
        sentence="The fuel that each injector must pass while it is open.",
        source=f"{_HEYWOOD}, eq. 2.22",
    ),
    _number(
        flow.power_kw,
        "kW",
        (_from_zero("torque_nm", "N·m"), _RPM),
        sentence="The power that a torque gives at a speed of rotation.",
        source=f"{_HEYWOOD}, eq. 2.13",
    ),
)

FUNCTIONS: Final[Mapping[str, EngineFunction]] = MappingProxyType({f.name: f for f in _ALL})
"""Every engine function by name, in the order of the documentation."""
