"""Parts of a refit, made from dimensions or a sheet: mass, centre, body, and the sum that leads to them."""
