"""A scan beside the stations: is it as long and as broad as the boat, in the unit that was said?

The scan is compared only; the hull that floats is made from the stations.
"""

from __future__ import annotations

from pathlib import Path

from hullcalc.boats.settings import FILE, SCAN_UNITS, Settings
from hullcalc.errors import LOOK, HullcalcError, Problem, Problems
from hullcalc.geometry.mesh_files import read_mesh
from hullcalc.measuring.stations import Hull

SAME = 0.05  # share by which the lengths of one boat may differ, bow rollers and lids counted


def check_scan(folder: Path, settings: Settings, hull: Hull | None, problems: Problems) -> None:
    """Problems where the scan named in boat.toml cannot be read or is not the size of the boat."""
    if not settings.scan:
        return
    try:
        vertices, _ = read_mesh(folder / settings.scan)
    except (HullcalcError, OSError) as error:
        problems.append(
            Problem(
                settings.scan, None, None, "", str(error).splitlines()[0], f"Mend the file, or take scan out of {FILE}"
            )
        )
        return
    size = vertices.max(axis=0) - vertices.min(axis=0)
    length, beam, where = settings.length, settings.beam, f"as in {FILE}"
    if hull is not None and (length is None or beam is None):
        made = hull.solid.vertices.max(axis=0) - hull.solid.vertices.min(axis=0)
        length, beam, where = float(made[0]), float(made[1]), "as in stations.csv"
    scale = SCAN_UNITS[settings.scan_unit]
    if not length or abs(size[0] * scale / length - 1) <= SAME:
        return
    fits = [unit for unit, factor in SCAN_UNITS.items() if abs(size[0] * factor / length - 1) <= SAME]
    if fits:
        across = f". Beam would be {size[1] * SCAN_UNITS[fits[0]]:.2f} m"
        same = beam is not None and beam > 0 and abs(size[1] * SCAN_UNITS[fits[0]] / beam - 1) <= SAME
        problems.append(
            Problem(
                settings.scan, None, None, "",
                f"{settings.scan} is {size[0]:.4g} long: that is {size[0] * SCAN_UNITS[fits[0]]:.2f} m if the scan is "
                f"in {fits[0]}",
                f'Set scan_unit = "{fits[0]}"{across}{f", {where}" if same else ""}', weight=20.0,
            )
        )  # fmt: skip
        return
    problems.append(
        Problem(
            settings.scan, None, None, "", f"the scan is {size[0] * scale:.2f} m long, the boat {length:.2f} m",
            "Is x along the boat, and is it this boat? The stations were used", LOOK, 5.0,
        )
    )  # fmt: skip
