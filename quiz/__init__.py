"""Items, scores and what a person knows."""
