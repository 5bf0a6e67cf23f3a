"""Reverse polarity, derived: the contacts change places at the contact plane, shells and insulators stay.

The socket's tip goes where the pin's shoulder was, and the pin's shoulder where the socket's tip was. The jack's
pin ends within half a millimetre of its rim, unless a family's table says where it was measured. No public standard
was found, so every moved number is graded `assumed` and carries its range.
"""

from __future__ import annotations

import msgspec

from coaxtell.models.catalogue import tell
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Centre, Half, Pin, Socket
from coaxtell.models.measure import Grade, Measure

RIM_BAND = 0.5
"""How far the reverse jack's pin may end behind or in front of its rim [mm]; one vendor's model: 0.5 in front."""


def _assumed(mm: float, low: float, high: float, note: str) -> Measure:
    return Measure(grade=Grade.ASSUMED, source=["assumption"], mm=mm, min=min(low, mm), max=max(high, mm), note=note)


def _moved(measure: Measure, note: str) -> Measure:
    return _assumed(measure.nominal, measure.low, measure.high, note)


def _socket(socket: Socket, shoulder: Measure) -> Socket:
    depth = socket.tip.nominal - socket.bottom.nominal
    tip = _moved(shoulder, tell("reverse.tip"))
    bottom = tip.nominal - depth
    spread = socket.bottom.high - socket.bottom.low
    return msgspec.structs.replace(
        socket,
        tip=tip,
        bottom=_assumed(bottom, bottom - spread, bottom + spread / 2, tell("reverse.bottom")),
    )


def _pin(pin: Pin, tip: Measure, rim: Measure, measured: Measure | None) -> Pin:
    end = rim.nominal
    derived = _assumed(end, end - RIM_BAND, end + RIM_BAND, tell("reverse.end"))
    return msgspec.structs.replace(
        pin,
        shoulder=_moved(tip, tell("reverse.shoulder")),
        tip=measured or derived,
    )


def reverse(plug: Half, jack: Half, key: str, family: str, tip: Measure | None = None) -> tuple[Half, Half]:
    """The reverse polarity plug and jack of a standard pair; `tip`: where the jack's pin ends, where it was measured.

    Raises InputError where the pair does not have a pin in the plug and a socket in the jack.
    """
    pin, socket = plug.centre.pin, jack.centre.socket
    if pin is None or socket is None:
        raise RefusedError("models.reverse_source")

    def exchanged(half: Half, centre: Centre) -> Half:
        return msgspec.structs.replace(
            half,
            id=f"{key}-{half.gender}",
            family=family,
            polarity="reverse",
            name=f"{family} {half.gender}",
            trade_names=[],
            centre=centre,
        )

    return (
        exchanged(plug, Centre(d=jack.centre.d, socket=_socket(socket, pin.shoulder))),
        exchanged(jack, Centre(d=plug.centre.d, pin=_pin(pin, socket.tip, jack.shell.rim, tip))),
    )
