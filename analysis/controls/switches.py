"""The widgets of a refit panel: package switches, load and units, each named for screen readers, all moved by keyboard.

A slider of ipywidgets has no name that a screen reader could say, so each slider stands beside a number box that has.
"""

from __future__ import annotations

import ipywidgets as ipw
import traitlets as tl

from analysis.controls.choice import FULL, Choice, Crew
from hullcalc.boats.boat import Boat

OWN = "own choice"
LABEL = "112px"
UNITS = (("metric", "metric"), ("US", "us"))


def plan_picker(boat: Boat, choice: Choice) -> ipw.Dropdown:
    """Named plans; shows "own choice" while the packages are those of none."""
    plans = {boat.packages_on(name): name for name in reversed(list(boat.plans))}
    picker = ipw.Dropdown(options=[*boat.plans, OWN], description="plan", style={"description_width": LABEL})

    def follow(_: object = None) -> None:
        picker.value = plans.get(choice.packages, OWN)

    def pick(change: dict) -> None:
        if change["new"] == OWN:
            follow()  # a choice of one's own is made with the switches
        else:
            choice.packages = boat.packages_on(change["new"])

    follow()
    picker.observe(pick, names="value")
    choice.observe(follow, names="packages")
    return picker


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
    slider = ipw.IntSlider(
        value=getattr(choice, trait), max=most, step=step, readout=False, layout=ipw.Layout(width="190px")
    )
    for widget in (box, slider):
        tl.link((choice, trait), (widget, "value"))
    return ipw.HBox([box, slider])


def load_controls(choice: Choice, crew: Crew) -> list[ipw.Widget]:
    """Fuel, livewell, people and units."""
    units = ipw.RadioButtons(options=UNITS, description="units", style={"description_width": LABEL})
    units.layout.width = "auto"
    tl.link((choice, "system"), (units, "value"))
    return [
        slider_with_box(choice, "fuel", "fuel, %", FULL, 5),
        slider_with_box(choice, "livewell", "livewell, %", FULL, 5),
        slider_with_box(choice, "at_stern", "at the stern", len(crew.stern) - 1, 1),
        slider_with_box(choice, "at_helm", "at the helm", len(crew.helm), 1),
        units,
    ]
