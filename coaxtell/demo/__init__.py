"""A depot of our own invention, on which every job is shown: its data, its people, its cables, its page."""
