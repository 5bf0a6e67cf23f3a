"""Small changes of meaning put into a copy of the program, one at a time: each must fail a test of its room.

`python -m tests.mutants` runs `list.toml` and writes `results.toml`; see DEVELOPERS.md.
"""
