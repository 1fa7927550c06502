"""Hourly climate files of several formats, and how far their hours can be trusted."""
