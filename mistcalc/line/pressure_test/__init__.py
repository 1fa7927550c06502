"""The closed line: what a gauge must show in a pressure test and in the watch at low pressure."""
