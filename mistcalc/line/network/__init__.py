"""The solver: arrays of nodes and elements in, pressures and flows out. It knows no project."""
