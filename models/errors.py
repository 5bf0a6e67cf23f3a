"""Bad input, told in one sentence."""


class InputError(ValueError):
    """What is wrong, where, and what to do about it, in words for the technician.

    Every engine raises this one class for bad input; the command line prints it and ends with status 2.
    """
