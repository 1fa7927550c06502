"""The line as a diagram: pump side, runs and connections, pressures."""
