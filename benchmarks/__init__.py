"""Speed and memory, as ratios measured in one run; each module prints a table."""
