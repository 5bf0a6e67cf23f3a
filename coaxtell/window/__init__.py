"""The window: name a port, bring halves together, hold them at life size, find the cable, practise and assess.

The only package that imports pygame, written to the calls that pygame and pygame-ce share. It draws and asks; all
that it says comes from the engines below it.
"""

import os

# pygame greets on the terminal otherwise
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
