"""The widgets of a refit panel: package switches, load and units, each named for screen readers, all moved by keyboard.

A slider of ipywidgets has no name that a screen reader could say, so each slider stands beside a number box that has.
There are no lists and no radio buttons: while the notebook is in command mode JupyterLab takes the arrow keys that move
them. It leaves the space bar to switches and buttons, and the arrow keys to sliders and number boxes.
"""

from __future__ import annotations

import ipywidgets as ipw
import traitlets as tl

from analysis.controls.choice import FULL, Choice, Crew
from hullcalc.boats.boat import Boat

LABEL = "112px"


def plan_buttons(boat: Boat, choice: Choice) -> ipw.ToggleButtons:
    """Named plans; none is pressed while the packages are those of none."""
    plans = {boat.packages_on(name): name for name in reversed(list(boat.plans))}
    buttons = ipw.ToggleButtons(
        options=list(boat.plans), value=None, description="plan", style={"description_width": LABEL}
    )

    def follow(_: object = None) -> None:
        buttons.value = plans.get(choice.packages)

    def pick(change: dict) -> None:
        if change["new"] is not None:
            choice.packages = boat.packages_on(change["new"])

    follow()
    buttons.observe(pick, names="value")
    choice.observe(follow, names="packages")
    return buttons


def package_switch(package: str, choice: Choice) -> ipw.Checkbox:
    """One package, on or off."""
    box = ipw.Checkbox(
        value=package in choice.packages, description=package, indent=False, layout=ipw.Layout(width="auto", margin="0")
    )
    box.observe(lambda change: choice.switch(package, change["new"]), names="value")
    choice.observe(lambda change: box.set_trait("value", package in change["new"]), names="packages")
    return box


def package_switches(boat: Boat, choice: Choice) -> ipw.VBox:
    """A switch for each package, side by side as the page is wide, and a line on what excludes what."""
    grid = ipw.GridBox(
        [package_switch(package, choice) for package in boat.packages],
        layout=ipw.Layout(grid_template_columns="repeat(auto-fill, minmax(250px, 1fr))", width="100%"),
    )
    only = [f"Only one of these at a time: {', '.join(group)}." for group in boat.exclusive]
    return ipw.VBox([grid, *(ipw.Label(words) for words in only)])


def slider_with_box(choice: Choice, trait: str, name: str, most: int, step: int) -> ipw.HBox:
    """A slider and a named number box for one trait; either moves the other."""
    box = ipw.BoundedIntText(
        value=getattr(choice, trait), max=most, step=step, description=name,
        style={"description_width": LABEL}, layout=ipw.Layout(width="190px"),
    )  # fmt: skip
    slider = ipw.IntSlider(  # single steps: a slider of coarser ones would round what is typed into the box
        value=getattr(choice, trait), max=most, readout=False, layout=ipw.Layout(width="190px")
    )
    for widget in (box, slider):
        tl.link((choice, trait), (widget, "value"))
    return ipw.HBox([box, slider])


def load_controls(choice: Choice, crew: Crew) -> list[ipw.Widget]:
    """Fuel, livewell, people and units."""
    return [
        slider_with_box(choice, "fuel", "fuel, %", FULL, 5),
        slider_with_box(choice, "livewell", "livewell, %", FULL, 5),
        slider_with_box(choice, "at_stern", "at the stern", len(crew.stern) - 1, 1),
        slider_with_box(choice, "at_helm", "at the helm", len(crew.helm), 1),
        units_switch(choice),
    ]


def units_switch(choice: tl.HasTraits) -> ipw.Checkbox:
    """US customary units, on or off."""
    box = ipw.Checkbox(description="US units", indent=False, layout=ipw.Layout(width="auto", margin="0 0 0 20px"))
    tl.link((choice, "system"), (box, "value"), (lambda system: system == "us", lambda on: "us" if on else "metric"))
    return box
