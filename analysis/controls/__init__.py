"""Controls: what a reader chooses (state), what comes of it in words and rows, and the panel that shows both.

The state knows no widget, the answer knows neither, and the panel does no sums.
"""

from analysis.controls.answer import Answer, say_all, say_finding, solve
from analysis.controls.choice import Choice, Crew
from analysis.controls.panel import RefitPanel, refit_panel
from analysis.controls.picture import Still

__all__ = ["Answer", "Choice", "Crew", "RefitPanel", "Still", "refit_panel", "say_all", "say_finding", "solve"]
