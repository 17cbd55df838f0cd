"""Torque and preload of a bolted joint, T = K d F, and the setting of a torque wrench with an extension.

>>> from greaseproof.reading.quantity import Kind, one
>>> from greaseproof.reading.sizes import parse_property_class, parse_thread
>>> bolt, grade = parse_thread("M12"), parse_property_class("8.8")
>>> torque_for(bolt, grade, threads="dry").value.show("N·m", "lbf·ft")
'79.2..119 N·m (58.4..88 lbf·ft)'
>>> force = preload(one("82 N·m"), bolt, nut_factor("dry").value)
>>> str(force.value), str(share_of_proof(force.value, bolt, grade).value)
('25.3..38.0 kN', '51.7..77.7 %')
>>> str(setting(one("300 lbf·in"), one("10 in"), one("4 in")).value)
'214 lbf·in'

The nut factor K holds all that friction does, and varies even among bolts of one box: everything that rests
on it is a range. It serves to question a torque or to see what one does, and never replaces the figure of
the maker, which comes first; so do stretch, angle and the sequence where the maker gives them.
"""

from __future__ import annotations

import math
from enum import StrEnum
from fractions import Fraction
from typing import overload

from ..reading.quantity import Amount, BadQuantity, Kind, Quantity, Range, one, units_of
from ..reading.sizes import PropertyClass, Series, Thread
from .figure import Figure, rounded
from .hexagons import Known
from .strength import proof_load
from .threads import diameter

__all__ = ["USUAL_SHARE", "Threads", "nut_factor", "preload", "setting", "share_of_proof", "torque_for"]


class Threads(StrEnum):
    """The state of the threads, and of the face that turns, of plain steel bolts."""

    DRY = "dry"
    OILED = "oiled"
    GREASED = "greased"


def _between(low: str, high: str) -> Range:
    return Range(one(low, Kind.NUMBER), one(high, Kind.NUMBER))


_K_SOURCE = "K factor page of a fastener seller: dry steel 0.18 to 0.27, machine oil 0.10 to 0.26"
_GREASE_SOURCE = "Shigley, Mechanical Engineering Design: anti-seize 0.12, lubricated 0.18; from memory"

#: A single K is often quoted: 0.20 dry, 0.15 lubricated (a bolt torque guide). Zinc and cadmium are left out:
#: sources disagree even on whether zinc raises K (0.17 to 0.35).
_NUT_FACTORS = {
    Threads.DRY: Figure(_between("0.18", "0.27"), "nut factor K", _K_SOURCE, Known.READ),
    Threads.OILED: Figure(_between("0.10", "0.26"), "nut factor K", _K_SOURCE, Known.READ),
    Threads.GREASED: Figure(_between("0.12", "0.18"), "nut factor K", _GREASE_SOURCE, Known.MEMORY),
}

#: Usual for a joint that is taken apart again. Source: the clamp loads that a fastener institute's torque
#: guide prints are 0.75 × SAE J429 proof stress × stress area.
USUAL_SHARE = one("75 %", Kind.PERCENT)

_EQUATION_SOURCE = "Mechanical Fastening, Joining, and Assembly, p. 85"
_LEVER_SOURCE = "US Army TM 1-1500-204-23-9, fig. 8-16; at an angle US Army TM 9-254, fig. 4-6"


def nut_factor(threads: str) -> Figure[Range]:
    """Give the range of K, a plain number, for plain steel threads that are `dry`, `oiled` or `greased`.

    Raises: BadQuantity, for any other word. The sources stand beside the figures.
    """
    if threads not in tuple(Threads):
        raise BadQuantity(
            f"`{threads}` is no state of threads that is known here", "write `dry`, `oiled` or `greased`"
        )
    return _NUT_FACTORS[Threads(threads)]


def torque_for(
    thread: Thread,
    property_class: PropertyClass,
    share_of_proof: Quantity = USUAL_SHARE,
    threads: str = Threads.DRY,
    factor: Range | None = None,
) -> Figure[Range] | None:
    """Give the torques that make a preload of that share of the proof load, from the least K to the greatest.

    T = K d F. `share_of_proof` is a percentage above 0, up to 100 %; `factor`, a range of K, takes the place
    of that for `threads`. N·m for M, lbf·ft for UNC and UNF, to three figures. For a steel bolt in steel that
    clamps firm parts: aluminium takes less, and a self-locking nut has its drag on top. The maker's figure
    comes first. None: there is no proof load for such a thread and class.

    The range says how unsure K is, not what may be chosen from: its greatest torque, on a bolt with the least
    K, makes more than the share by the one K over the other (dry: half as much again). `preload` tells.

    Raises: BadQuantity, for a share, a state of the threads or a K outside this.
    Source: Mechanical Fastening, Joining, and Assembly, p. 85; that of K as for `nut_factor`.
    """
    _must_be(share_of_proof, Kind.PERCENT)
    if not 0 < share_of_proof.si <= 1:
        raise BadQuantity(
            f"`{share_of_proof}` is no share of the proof load to tighten to", "write one up to `100 %`"
        )
    stated = nut_factor(threads)
    low, high = _factors(factor or stated.value)
    across, load = diameter(thread), proof_load(thread, property_class)
    if across is None or load is None:
        return None
    arm = across.value.si * load.value.si * share_of_proof.si
    unit = "N·m" if thread.series is Series.M else "lbf·ft"
    torque = Range(rounded(Kind.TORQUE, low * arm, unit), rounded(Kind.TORQUE, high * arm, unit))
    basis = f"T = K d F, K {factor or stated.value}, F {share_of_proof} of {load.value}"
    sources = [_EQUATION_SOURCE, *([] if factor else [stated.source]), load.source]
    known = Known.MEMORY if not factor and stated.known is Known.MEMORY else Known.DERIVED
    return Figure(torque, basis, "; ".join(sources), known)


def preload(torque: Amount, thread: Thread, factor: Range) -> Figure[Range] | None:
    """Give the preload that a torque makes, from the greatest K and least torque to the least K and most.

    F = T / (K d). kN for M and BA, lbf for inch threads, to three figures. `factor` is a range of K, such as
    `nut_factor` gives. The domain is that of `torque_for`. None: the thread is not known.

    Raises: BadQuantity, if the torque is none, or K is not above 0.
    Source: Mechanical Fastening, Joining, and Assembly, p. 85.
    """
    _must_be(torque, Kind.TORQUE)
    low, high = _factors(factor)
    across = diameter(thread)
    if across is None:
        return None
    unit = "kN" if thread.series in (Series.M, Series.BA) else "lbf"
    least, most = torque.low.si / (high * across.value.si), torque.high.si / (low * across.value.si)
    force = Range(rounded(Kind.FORCE, least, unit), rounded(Kind.FORCE, most, unit))
    return Figure(force, f"F = T / (K d), K {factor}, d {across.value}", _EQUATION_SOURCE, Known.DERIVED)


def share_of_proof(force: Amount, thread: Thread, property_class: PropertyClass) -> Figure[Range] | None:
    """Give a preload as a share of the proof load, a percentage to three figures.

    Above 100 % the bolt may stretch for good. The maker's figure comes first. None: there is no proof load
    for such a thread and class.

    Raises: BadQuantity, if `force` is no force. Source: as for `strength.proof_load`.
    """
    _must_be(force, Kind.FORCE)
    load = proof_load(thread, property_class)
    if load is None:
        return None
    low, high = (rounded(Kind.PERCENT, end.si / load.value.si, "%") for end in (force.low, force.high))
    return Figure(Range(low, high), f"share of {load.value}", load.source, Known.DERIVED)


_STRAIGHT = one("0°", Kind.ANGLE)


@overload
def setting(
    torque: Quantity, length: Quantity, extension: Quantity, angle: Quantity = ...
) -> Figure[Quantity]: ...
@overload
def setting(torque: Range, length: Quantity, extension: Quantity, angle: Quantity = ...) -> Figure[Range]: ...
def setting(
    torque: Quantity | Range, length: Quantity, extension: Quantity, angle: Quantity = _STRAIGHT
) -> Figure[Quantity] | Figure[Range]:
    """Give what a torque wrench is set to so that, with an extension on its drive, the bolt gets the torque.

    T × L / (L + E cos a): `length` L from the middle of the grip to the middle of the drive, `extension` E
    from there to the middle of the bolt, `angle` a between the extension and the line of the handle: 0°
    lengthens the lever, 90° needs no correction, 180° shortens it. In the unit of the torque, to three
    figures. Only for a hand in the middle of the grip; a socket bar in line with the drive needs none. The
    figure of the maker of the wrench comes first.

    Raises: BadQuantity, if a value is of another kind, L is not above 0, E is below 0, or the bolt comes to
    lie under the grip or behind it.
    Source: US Army TM 1-1500-204-23-9, fig. 8-16; at an angle US Army TM 9-254, fig. 4-6.
    """
    _must_be(torque, Kind.TORQUE)
    _must_be(length, Kind.LENGTH)
    _must_be(extension, Kind.LENGTH)
    _must_be(angle, Kind.ANGLE)
    # Rounded, so that an extension at 90° is nothing, not 1e-17 of itself.
    cosine = Fraction(round(math.cos(math.radians(angle.si)), 12))
    lever = length.si + extension.si * cosine
    if length.si <= 0 or extension.si < 0 or lever <= 0:
        raise BadQuantity(
            f"an extension of {extension} at {angle} on a lever of {length} leaves no lever",
            "measure the lever from the grip to the drive, and the extension from the drive to the bolt",
        )
    basis = f"T × L / (L + E cos a), L {length}, E {extension}, a {angle}"

    def set_to(end: Quantity) -> Quantity:
        return rounded(Kind.TORQUE, end.si * length.si / lever, end.unit)

    if isinstance(torque, Range):
        ends = Range(set_to(torque.low), set_to(torque.high))
        return Figure(ends, basis, _LEVER_SOURCE, Known.DERIVED)
    return Figure(set_to(torque), basis, _LEVER_SOURCE, Known.DERIVED)


def _factors(factor: Range) -> tuple[Fraction, Fraction]:
    """Give the ends of a range of K. Raises: BadQuantity."""
    _must_be(factor, Kind.NUMBER)
    if factor.low.si <= 0:
        raise BadQuantity(f"`{factor}` is no nut factor", "write one above 0, such as `0.18..0.27`")
    return factor.low.si, factor.high.si


def _must_be(value: Amount, kind: Kind) -> None:
    if value.kind is not kind:
        unit = units_of(kind)[0].name
        mend = f"write it in {unit}" if unit else "write the number without a unit"
        raise BadQuantity(f"`{value}` is no {kind}", mend)
