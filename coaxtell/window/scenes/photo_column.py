"""The column beside a photograph: how to take one, what is asked of the one on the bench, what its width says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from coaxtell import photo_bench
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import SMALL
from coaxtell.window.kit.widgets import Action
from coaxtell.window.scenes import port_words
from coaxtell.window.scenes.photo_fits import Fits
from coaxtell.window.scenes.photo_marking import CIRCLE, FINER, Marking
from coaxtell.window.scenes.photo_opening import Opening
from coaxtell.window.views.scales import THIN

if TYPE_CHECKING:
    # it brings the library that finds edges, which only a photograph needs
    from coaxtell.photo.width import Width
    from coaxtell.window.scenes.photo_marks import Marks

NO_CARD = (
    "No bank card lies at these corners, so nothing can be measured. Is one there, drag each handle onto a corner of "
    "it; is none, lay one flat beside the port, all its sides in sight, and take the picture anew."
)
NO_CARD_AFAR = (
    "No bank card lies at these corners, so nothing can be measured. Is one there, drag each handle onto a corner of "
    "it; is none, lay none beside this port."
)
REAR = "Then this width names no port: photograph the side where the mate goes in or over."
PROPOSED = (
    "Does the ring lie on the rim of the coupling? It is only proposed, and a flange or a washer is as round. Where it "
    "does, click on the ring or press Enter on the picture; else drag it there."
)
OUT_OF_SIGHT = "The ring was out of sight: now it is near. Does it lie on the rim of the coupling? Then once more."
"""What is said instead of taking a yes to a ring that nobody sees."""
HEIGHTS = {"unknown": "unknown", "level": "level", "mm": "in mm"}


class Seat(Protocol):
    """The scene: what was found and answered, and what the column's buttons do."""

    desk: Desk
    opening: Opening
    fits: Fits
    up: Edit
    height: str
    mates: bool | None

    @property
    def width(self) -> Width | None: ...
    @property
    def refusal(self) -> str: ...
    @property
    def agreed(self) -> bool: ...
    def agree(self) -> None: ...
    def answer_side(self, mates: bool) -> None: ...
    def name_it(self, anew: bool) -> Action: ...
    def save(self) -> None: ...
    def another(self) -> None: ...
    def set_height(self, key: str) -> Action: ...
    def check_height(self) -> None: ...


def ask(scene: Seat, column: Stack) -> None:
    """How to photograph a port, and which picture; nothing is laid beside a port that may not be come near to."""
    opening, afar = scene.opening, port_words.from_afar(scene.desk)
    for number, told in enumerate(afar):
        column.check(told, None, key=f"afar-{number}")
    column.title("A port beside a bank card")
    if afar:
        column.say("Only a picture is measured where the card lay beside it before. The picture never leaves this "
                   "machine.")  # fmt: skip
    else:
        column.say("Lay the card flat beside the port, level with its face, never against a contact. Stand square to "
                   "it, 20 to 40 cm away, without zoom. The picture never leaves this machine.")  # fmt: skip
    if opening.loading:
        column.progress("loading", None, f"Looking for the card in {opening.loading}.")
        return
    if afar:
        port_words.back_to_what_is_said(scene.desk, column)
        column.button("choose", "Choose a picture taken before", opening.choose)
    else:
        column.button("choose", "Choose a picture", opening.choose, "action")
    column.field("file", "or type its place, or drop it on the window", opening.typed, lambda: None, opening.open)
    column.button("open", "Open it", opening.open)
    if opening.trouble:
        column.check(opening.trouble, False, key="trouble")
    _cautions(column, afar)


def _cautions(column: Stack, afar: list[str]) -> None:
    column.part("Caution")
    for caution in photo_bench.CAUTIONS:
        # which side it is is asked, and no card is laid beside what is judged from afar
        if caution != photo_bench.MATING_SIDE and not (afar and caution == photo_bench.LAY_THE_CARD):
            column.say(caution, after=0.5)


def fill(scene: Seat, column: Stack, marking: Marking) -> None:
    """What is asked of the picture, how to mark it, and what its width says once both lie right."""
    marks, found, afar = marking.marks, scene.width, port_words.from_afar(scene.desk)
    for number, told in enumerate(afar):
        column.check(told, None, key=f"afar-{number}")
    usable = marks.card is not None and marks.blurred is None
    if marks.card is None:
        column.check(NO_CARD_AFAR if afar else NO_CARD, False, key="card")
        column.button("another", "Another picture", scene.another)
    elif marks.blurred is not None:
        column.check(f"Too blurred: {marks.blurred}", False, key="blurred")
        column.button("another", "Another picture", scene.another, "action")
    else:
        told = "The card was found" if marks.found else "The card lies at these corners"
        column.check(f"{told}: its outline must lie on its edges.", True if scene.agreed else None, key="card")
    if found is not None:
        if scene.agreed:  # no number of a ring that nobody has looked at
            column.verdict(f"{found.mm:.2f}{THIN}mm across", "text")
            column.check(f"Give or take {found.plus_minus:.2f}{THIN}mm.", None, key="plus-minus")
            beside = scene.fits.held(found).beside
            if beside:
                column.check(beside, False, key="beside")
        _asked_first(scene, column, marks)
    elif usable:
        why = scene.refusal or "No edge runs round at the circle: put it on the rim itself."
        column.check(why, False, key="no-rim")
    _tools(scene, column, marking)
    if found is not None and scene.agreed:
        _laid_over(scene, column, marks, found)
    if usable:
        column.button("another", "Another picture", scene.another)
    _cautions(column, afar)


def _tools(scene: Seat, column: Stack, marking: Marking) -> None:
    """What moves circle and corners, and the height of the face."""
    marks, force = marking.marks, marking.force
    column.say("Drag the circle onto the rim of the coupling: the thread or the nut's mouth, not a washer.")
    column.buttons([
        ("smaller", "Smaller", lambda: marks.size_circle(marks.radius / FINER), False),
        ("larger", "Larger", lambda: marks.size_circle(marks.radius * FINER), False),
        ("near", "Face near to", marking.near, False),
        ("whole", "Whole picture", marking.show_all, False),
    ])  # fmt: skip
    column.choice("Keys move", [
        ("move-circle", "circle", marking.forcing(CIRCLE), force == CIRCLE),
        ("move-corner", f"corner {max(force, 0) + 1}", marking.forcing((force + 1) % 4), force != CIRCLE),
    ])  # fmt: skip
    column.choice("Face over card", [
        (f"height-{key}", words, scene.set_height(key), key == scene.height) for key, words in HEIGHTS.items()
    ])  # fmt: skip
    if scene.height == "mm":
        column.field("up", "Height of the face over the card", scene.up, lambda: None, scene.check_height, "mm")


def _laid_over(scene: Seat, column: Stack, marks: Marks, found: Width) -> None:
    assert marks.card is not None
    fits = scene.fits
    column.part("Likeliest now, laid over the face in red at its size")
    laid, held = fits.laid(found), fits.held(found)
    if held.clash:
        column.check(held.clash, False, key="clash")
    column.buttons([(f"lay-{half.id}", half.name, fits.showing(half.id), half is laid)
                    for half in held.likeliest])  # fmt: skip
    column.button("save", "Save the picture with what was found", scene.save)
    per_mm = marks.card.px_per_mm * marks.photo.shrunk
    # how to take it better is told of what one may go near to
    better = () if port_words.from_afar(scene.desk) else photo_bench.told(found, per_mm)
    for words in (photo_bench.counts(found), photo_bench.EXPERIMENTAL, *better):
        column.say(words, SMALL, "quiet", after=0.5)


def _asked_first(scene: Seat, column: Stack, marks: Marks) -> None:
    """What must be answered before the width is told and names anything; then the way on."""
    if not marks.placed:
        column.say(PROPOSED, bold=True, key="proposed")
        if len(marks.proposed) > 1:
            column.button("next-round", "No: try the next round thing seen", marks.next_round)
    elif not scene.agreed:
        column.say("Does the outline lie on the card, and the green ring on the rim of the coupling? A box is as "
                   "square, a flange or a washer as round.", bold=True)  # fmt: skip
        column.button("confirm", "Yes, both do", scene.agree)
        if len(marks.proposed) > 1:
            column.button("next-round", "No: try the next round thing seen", marks.next_round)
    elif not scene.mates:
        column.say(photo_bench.MATING_SIDE, bold=True)
        if scene.mates is False:
            column.check(REAR, False, key="rear")
        column.buttons([
            ("mating-yes", "Yes, the mating side", lambda: scene.answer_side(True), False),
            ("mating-no", "No, or not sure", lambda: scene.answer_side(False), scene.mates is False),
        ])  # fmt: skip
    else:
        column.button("name-it", "Name the port with this width", scene.name_it(False), "action")
        if scene.desk.naming is not None and scene.desk.naming.answers:
            column.button("name-anew", "Begin a new port with it", scene.name_it(True))
