"""kind = "engine": an outboard from its sheet, or from its class of power, as hung."""

from __future__ import annotations

from hullcalc.boats.part_kinds.asking import place, size
from hullcalc.boats.toml_keys import Keys
from hullcalc.units import factor
from hullcalc.weights.parts import engine
from hullcalc.weights.parts.part import Part
from hullcalc.weights.sources import BASES

WEIGHTS = tuple(basis for basis in BASES if basis != "measured afloat")


def make(keys: Keys, name: str) -> Part | None:
    """An engine as hung; `includes` says what the mass of the sheet holds."""
    before = len(keys.problems.to_mend)
    power = size(keys, "power", "power", high=700 * factor("hp", "power"), example="power_hp = 250")
    height = size(keys, "clamp_height", example="clamp_height_m = 0.72")
    rake = size(keys, "transom_rake", "angle", low=0.0, high=0.785, example="transom_rake_deg = 14")
    setback = size(keys, "setback", required=False, low=0.0, high=1.5)
    y = keys.position("y", "y")
    leg = keys.text("leg", required=True, choices=tuple(engine.LEGS))
    stroke = keys.text("stroke", choices=engine.STROKES, default="four")
    kind = keys.text("propeller", choices=tuple(engine.PROPELLERS), default="stainless")
    heaviest = keys.text("take", choices=("middle of the range", "heaviest of the class")) == "heaviest of the class"
    sheet, known = _sheet(keys), _known(keys)
    if len(keys.problems.to_mend) > before or power is None or height is None or rake is None:
        return None
    if setback is None:
        keys.report("setback", "", "not given: taken as 0, the engine hangs on the transom",
                    "If that is so, write setback_m = 0", "look")  # fmt: skip
    clamp = engine.clamp_place(height, rake, setback or 0.0, y or 0.0)
    return engine.as_hung(name, power / factor("hp", "power"), clamp, sheet, leg=leg, stroke=stroke, propeller=kind,
                          known=known, heaviest=heaviest)  # fmt: skip


def _sheet(keys: Keys) -> engine.Sheet | None:
    mass = size(keys, "mass", "mass", required=False)
    low = size(keys, "low", "mass", required=False)
    high = size(keys, "high", "mass", required=False)
    basis = keys.text("basis", choices=WEIGHTS, default="data sheet")
    leg = keys.text("sheet_leg", choices=tuple(engine.LEGS))
    includes = keys.names("includes")
    if mass is None:
        if includes:
            keys.report("mass", "", "mass is missing", "Write mass_kg = 255, or take includes out")
        return None
    if includes is None:
        if "includes" not in keys.table:
            keys.report(
                "includes", "", "what the mass includes is not said",
                'Write includes = ["dry"], or all it holds of: ' + ", ".join(engine.INCLUDES), weight=10.0,
            )  # fmt: skip
        return None
    return engine.Sheet(mass, includes, leg, basis, low, high)


def _known(keys: Keys) -> engine.Known:
    bases = {}
    masses = {}
    for what in ("leg", "propeller", "rigging"):
        masses[what] = size(keys, f"{what}_mass", "mass", required=False)
    for what in ("leg", "oil", "propeller", "rigging"):
        if basis := keys.text(f"{what}_basis", choices=WEIGHTS):
            bases[what] = basis
    return engine.Known(
        leg=masses["leg"],
        oil=size(keys, "oil", "volume", required=False, high=0.05),
        propeller=masses["propeller"],
        rigging=masses["rigging"],
        bases=bases,
        propeller_at=place(keys, False, "propeller_"),
        rigging_at=place(keys, False, "rigging_"),
        centre=place(keys, False, "centre_"),
    )
