"""Two halves brought together: what fits, what touches, where they stop, what connects."""
