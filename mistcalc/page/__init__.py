"""The page: one project open at a time, every control an edit of it, every picture a function of it."""
