"""A delivered cable held against the one that was ordered, from the sweep of a network analyser."""
