"""The story of one boat: gathered from the studies, put in sections, and written as one page."""
