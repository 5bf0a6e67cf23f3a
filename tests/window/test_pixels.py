"""Text read off the pixels of the window: how far its colour stands off the ground it truly lies on."""

from collections import Counter

import pygame
import pytest

from coaxtell.window.jobs import ALL
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import Colour, contrast
from tests.window.driving import Hand
from tests.window.looking import clipped_words

LEAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (AA): contrast of text against its ground, at least."""


def measured(picture: pygame.Surface, box: pygame.Rect) -> float:
    """The contrast of what is written in a box: its commonest colour against the one that stands off it most."""
    area = picture.subsurface(box)
    pixels = pygame.image.tobytes(area, "RGB")
    colours: Counter[Colour] = Counter(zip(pixels[::3], pixels[1::3], pixels[2::3], strict=True))
    (ground, _), *_ = colours.most_common(1)
    # single pixels may be a line that crosses; letters have several
    return max((contrast(one, ground) for one, count in colours.items() if count >= 2), default=1.0)


def weak(hand: Hand) -> list[str]:
    """Texts in sight, whole and undimmed, whose pixels stand too little off their ground."""
    picture, scale = hand.picture(), hand.app.type.scale
    whole, found = picture.get_rect(), []
    for call, clip in clipped_words(hand.calls()):
        box = call.box if clip is None else call.box.shared(clip)
        if box != call.box or not call.words.strip():
            continue
        rect = pygame.Rect(round(box.x * scale), round(box.y * scale), round(box.w * scale), round(box.h * scale))
        if not whole.contains(rect) or rect.w < 4 or rect.h < 4:
            continue
        found += [f"{call.words!r}: {value:.2f} to 1" for value in [measured(picture, rect)] if value < LEAST]
    return found


def test_the_measure_finds_what_is_weak() -> None:
    # #777777 on white has 4.48 to 1, #767676 4.54 (WCAG's own examples of just too little and just enough)
    pygame.font.init()
    letters = pygame.font.Font(None, 32)
    for shade, enough in ((0x77, False), (0x76, True)):
        picture = pygame.Surface((60, 40))
        picture.fill((255, 255, 255))
        picture.blit(letters.render("Hill", True, (shade, shade, shade)), (4, 4))
        assert (measured(picture, picture.get_rect()) >= LEAST) is enough


@pytest.mark.parametrize("tone", ["dark", "light"])
@pytest.mark.parametrize(("size", "text"), [((1366, 768), 100), ((1024, 600), 200)])
@pytest.mark.parametrize("scene", [scene.name for scene in ALL])
def test_text_stands_off_its_ground_in_pixels(scene: str, size: tuple[int, int], text: int, tone: str) -> None:
    hand = Hand(scene, size, Settings(motion=False, text=text, tone=tone))
    assert weak(hand) == []
    hand.app._scroll[hand.app._place] = hand.app.furthest
    hand.app.arrange()
    assert weak(hand) == []
