"""The page for the pocket: one source of truth, the tables and texts of Python; the page repeats only arithmetic."""
