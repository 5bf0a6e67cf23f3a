"""Bad input, told in one sentence."""


class InputError(Exception):
    """What is wrong, where, and what to do, in one sentence; ends the program with status 2."""
