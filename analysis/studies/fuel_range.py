"""How far does the fuel go? Nautical miles by a stated rule of what is kept back; planning only.

Fuel aboard, less what the pickups leave, less what a rule keeps, over what a mile takes. Rules (common practice, no
source): "thirds" keeps a third (a third out, a third back, a third for the unforeseen); "a tenth and the reserve" keeps
10 % and a stated reserve; a share of one's own. Nothing here knows weather, sea state or the engine. SI: volumes in m³,
burn in m³ a nautical mile; distances in nautical miles (1852 m).
"""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from hullcalc.boats.trips import Burn
from hullcalc.errors import InputError, require

BURN_BAND = 0.2  # the burn may be this share more or less: weather, load, a foul bottom; common practice, no source
THIRDS, TENTH = "thirds", "a tenth and the reserve"
PLANNING = "For planning only: weather, sea and burn are yours to judge."


@dataclass(frozen=True)
class Rule:
    """What is kept back: a share of the fuel that can be burnt, and litres beside it [m³]."""

    name: str
    share: float
    volume: float = 0.0

    def to_burn(self, usable: float) -> float:
        """What may be burnt of a usable volume [m³]."""
        return max(0.0, (1 - self.share) * usable - self.volume)

    def aboard_for(self, burnt: float) -> float:
        """The usable volume that leaves so much to burn [m³]."""
        return (burnt + self.volume) / (1 - self.share)


def rules(burn: Burn, kept: float | None = None) -> tuple[Rule, ...]:
    """The rules to show; `kept` is a share of one's own, 0 to under 1."""
    shown = [Rule(THIRDS, 1 / 3), Rule(TENTH, 0.1, burn.reserve)]
    if kept is not None:
        require(0 <= kept < 1, "share kept back", kept, "", "must be from 0 to under 1", "0.25 keeps a quarter")
        shown.append(Rule(f"{100 * kept:.0f} % kept", kept))
    return tuple(shown)


@dataclass(frozen=True, eq=False)
class FuelRange:
    """Range in nautical miles, there and back together: `table` has a row a rule."""

    aboard: float  # m³
    usable: float  # m³
    burn: float  # m³ a nautical mile
    table: pd.DataFrame

    def of(self, rule: str = THIRDS) -> pd.Series:
        """The row of a rule."""
        return self.table.set_index("rule").loc[rule]


def fuel_range(aboard: float, burn: Burn, kept: float | None = None) -> FuelRange:
    """How far so much fuel [m³] goes.

    Returns
    -------
    FuelRange
        `table` columns: rule, kept_l, to_burn_l, nm, nm_low and nm_high (burn 20 % up and down), nm_head_sea.

    Raises
    ------
    InputError
        If nothing says what she burns a mile, or a figure is not positive.
    """
    per_nm = _per_nm(burn)
    require(aboard > 0, "fuel aboard", aboard, "m3", "must be positive", "fill her up, or choose another load")
    usable = max(0.0, aboard - burn.unusable)
    rows = []
    for rule in rules(burn, kept):
        out = rule.to_burn(usable)
        rows.append(
            {
                "rule": rule.name,
                "kept_l": 1000 * (usable - out),
                "to_burn_l": 1000 * out,
                "nm": out / per_nm,
                "nm_low": out / per_nm / (1 + BURN_BAND),
                "nm_high": out / per_nm / (1 - BURN_BAND),
                "nm_head_sea": out / per_nm / burn.head_sea,
            }
        )
    return FuelRange(aboard, usable, per_nm, pd.DataFrame(rows))


def fuel_for(nm: float, burn: Burn, rule: Rule, head_sea: bool = False) -> float:
    """What must be in the tanks for so many nautical miles by a rule [m³], what the pickups leave included."""
    require(nm > 0, "distance", nm, "nm", "must be positive", "there and back together")
    out = nm * _per_nm(burn) * (burn.head_sea if head_sea else 1.0)
    return rule.aboard_for(out) + burn.unusable


def _per_nm(burn: Burn) -> float:
    if burn.per_nm is None:
        raise InputError("nothing says what she burns a mile; write per_nm_l = 1.5 under [burn] in boat.toml")
    require(burn.per_nm > 0, "burn", burn.per_nm, "m3 a nautical mile", "must be positive", "1.5 L is 0.0015")
    return burn.per_nm
