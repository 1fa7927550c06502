"""A first project from an architect's drawing: layers, shapes, the patio ceiling in them, its file."""
