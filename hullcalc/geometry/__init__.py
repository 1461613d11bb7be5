"""Closed surfaces and the planes that cut them."""
