"""What sheets of several readers share: language and units, findings by reader, cautions, places of marks."""
