"""Questions put to boats: studies, pictures, controls, and the two ways out, the command line and the report.

Runs from a clone of the project: the boats it comes with lie in `data/` beside this package.
"""

from pathlib import Path

from hullcalc.errors import InputError

DEMO = "demo-outboard-22"


def data_folder() -> Path:
    """The folder `data/` that comes with the project.

    Raises
    ------
    InputError
        If it is not there: the package was installed without the clone it came from.
    """
    folder = Path(__file__).resolve().parents[1] / "data"
    if not folder.is_dir():
        raise InputError(
            f"{folder}: there is no such folder. The boats that come with the project are found in a clone of it; "
            "run from there, or name a boat folder of your own"
        )
    return folder
