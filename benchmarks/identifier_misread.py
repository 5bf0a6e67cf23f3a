"""The centre misread with all the rest true: how often the port is then named wrongly at 0.9 or more, or settled.

With the touch of wood and without it, in each setting; the people are of two kinds: those who feel what is there, and
those who feel what they believe to see. Every half with a pin or a socket, weighed by how often it is met; nobody errs
in anything else, and a second look at the centre says again what was said. Run: python -m benchmarks.identifier_misread
"""

from __future__ import annotations

from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import SURE, Settled, how_settled
from coaxtell.identifier.partners import partners_of
from coaxtell.identifier.question import named, next_look
from tests.identifier.kit import HANDY, answer, shortlist, truths

OTHER = {"pin": "socket", "socket": "pin"}
BELIEVES = {"pin": "stands", "socket": "drops"}


def story(known: Shortlist, i: int, touch: str) -> tuple[bool, bool, bool]:
    """Wrong at 0.9 or more, wrong and settled, touched: of the part i whose centre is misread.

    `touch` is `none` (not sure of it), `true` or `believed`.
    """
    half = known.halves[i]
    true = truths(half)
    seen = OTHER[str(true[Feature.CENTRE])]
    state, touched = State(terms=HANDY), False
    while (look := next_look(known, state)) is not None:
        said = answer(look.feature, true[look.feature])
        if look.feature is Feature.CENTRE:
            said = Saw(seen)
        elif look.feature is Feature.TOUCH:
            touched = True
            said = {"none": answer(look.feature, None), "believed": Saw(BELIEVES[seen])}.get(touch, said)
        state = state.tell(look.feature, said, look.again)
    belief = known.belief(state.answers, state.again)
    best = named(known, belief)
    wrong = known.order_of[best] != known.order_of[i]
    fit = partners_of(known, known.halves[best]).fit
    settled = how_settled(known, state, fit) is not Settled.NOT_SETTLED
    sure = float(known.of_orders(belief)[known.order_of[best]]) >= SURE
    return bool(wrong and sure), bool(wrong and settled), touched


def main() -> None:
    """Print one row for each setting and kind of touch."""
    print(f"{'setting':<14}{'touch':<12}{'wrong at 0.9':>14}{'wrong, settled':>16}{'touched':>10}")
    for setting in ("uhf-reader", "wifi", "any"):
        known = shortlist(setting)
        parts = [i for i, half in enumerate(known.halves) if str(truths(half)[Feature.CENTRE]) in OTHER]
        for touch in ("none", "true", "believed"):
            weight, sums = 0.0, [0.0, 0.0, 0.0]
            for i in parts:
                chance = float(known.prior[i])
                weight += chance
                sums = [total + chance * one for total, one in zip(sums, story(known, i, touch), strict=True)]
            shares = [one / weight for one in sums]
            print(f"{setting:<14}{touch:<12}{shares[0]:>14.3f}{shares[1]:>16.3f}{shares[2]:>10.3f}")


if __name__ == "__main__":
    main()
