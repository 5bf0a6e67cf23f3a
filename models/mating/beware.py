"""What to beware of with a pair, from the two halves and what becomes of them: more than its verdict alone tells.

Common practice, no source; that pin depth is gauged before a precision port is joined stands in makers' own guides
for connector care (key HNFA).
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.models.acts import Act, before
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import JOINED, Outcome, Verdict


def beware(a: Half, b: Half, found: Outcome, lost: Sequence[Reason]) -> list[Reason]:
    """Cautions from the pair: high voltage, pin depth, torque, the harm of 50 and 75 ohm, spring fingers."""
    said = [reason for reason in before([Act.JOIN], (a, b)) if reason.code == "need.no_high_voltage"]
    pin, socket = (a, b) if a.centre.pin is not None else (b, a)
    enters = pin.centre.pin is not None and socket.centre.socket is not None and found.coupling.fits
    if enters and socket.precision:
        said.append(Reason("caution.pin_depth", {"pin_half": pin.name, "socket_half": socket.name}))
    if found.verdict in JOINED:
        said += [Reason("caution.torque", loss.values) for loss in lost if loss.code == "loss.torque"]
    if a.family == b.family and a.impedance_ohm != b.impedance_ohm:
        if found.verdict is Verdict.DAMAGES:
            said.append(Reason("caution.spread", {"pin_half": pin.name, "socket_half": socket.name}))
        if found.verdict is Verdict.NO_CONTACT:
            said.append(Reason("caution.loose", {"pin_half": pin.name, "socket_half": socket.name}))
    slotted = [half for half in (a, b) if half.shell.slots is not None]
    if slotted and found.verdict in JOINED:
        said.append(Reason("caution.fingers", {"half": slotted[0].name}))
    return said
