"""What to draw for each fish: active substance per kg, through the bottle's strength, to syringe marks."""

from __future__ import annotations

from dataclasses import dataclass

from core.records import Sex


@dataclass(frozen=True, slots=True)
class DoseShot:
    """`ml` to inject at the n-th shot; `amount` of active substance in `unit` (`ug`, `mg`, `IU`)."""

    n: int
    role: str
    ml: float | None
    amount: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class DoseLine:
    """One fish of a sheet. `*_ml` are calculated to 0.01, `drawn_ml` is what the syringe can show."""

    tag: str
    sex: Sex | None
    kg: float
    priming_ml: float | None
    final_ml: float | None
    drawn_ml: float | None
    shots: tuple[DoseShot, ...] = ()
