"""Results for other programs: JSON, CSV and the network file."""
