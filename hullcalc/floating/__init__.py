"""Floating: equilibrium, its response, hydrostatic tables and righting arms."""
