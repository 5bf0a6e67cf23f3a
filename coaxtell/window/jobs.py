"""The jobs of the window, a scene each, in the order of their keys F1 to F9."""

from coaxtell.window.kit.scene import Scene
from coaxtell.window.scenes.beside import SideBySide
from coaxtell.window.scenes.bring_together import BringTogether
from coaxtell.window.scenes.cable import Cable
from coaxtell.window.scenes.half import HalfPage
from coaxtell.window.scenes.life_size import LifeSize
from coaxtell.window.scenes.name_port import NamePort
from coaxtell.window.scenes.papers import Papers
from coaxtell.window.scenes.photograph import Photograph
from coaxtell.window.scenes.practise import Practise

ALL: list[type[Scene]] = [NamePort, BringTogether, LifeSize, Practise, Cable, HalfPage, SideBySide, Papers, Photograph]
