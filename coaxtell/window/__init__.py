"""The window: name a port, bring halves together, hold them at life size, find the cable, practise and assess.

The only package that imports pygame, written to the calls that pygame and pygame-ce share. It draws and asks; all
that it says comes from the engines below it.
"""

import os

# pygame greets on the terminal and names the window after the script otherwise
os.environ.setdefault("SDL_VIDEO_X11_WMCLASS", "coaxtell")
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
