"""The owner's pages: cooling to expect, patio map, care, measuring day."""
