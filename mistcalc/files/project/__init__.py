"""The project file: read against one schema, checked across keys, rewritten with its comments kept."""
