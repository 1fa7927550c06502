"""A measuring day: the sheet's own keys and what loggers export."""
