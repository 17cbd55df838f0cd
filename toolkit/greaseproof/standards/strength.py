"""What a bolt carries: proof stress and tensile strength by property class, and the loads of a thread.

>>> from greaseproof.reading.sizes import parse_property_class, parse_thread
>>> load = proof_load(parse_thread("M8"), parse_property_class("8.8"))
>>> str(load.value), load.basis
('21200 N', '580 MPa × 36.6 mm²')
>>> str(ultimate_load(parse_thread("1/2-13 UNC"), parse_property_class("grade 5")).value)
'17000 lbf'
>>> proof_load(parse_thread("M8"), parse_property_class("grade 5")) is None
True

Classes 4.6 to 12.9 of ISO 898-1 on M threads, grades 2, 5 and 8 of SAE J429 on UNC and UNF threads from 1/4
inch; steel bolts and screws at room temperature. Nuts, stainless steel and all other classes give None, never
a guess. The figures question what an author wrote; the maker's come first.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..reading.quantity import Kind, Quantity, one
from ..reading.sizes import PropertyClass, Series, Thread
from .figure import Figure, rounded
from .hexagons import Known
from .threads import diameter, stress_area

__all__ = ["proof_load", "proof_stress", "tensile_strength", "ultimate_load"]


@dataclass(frozen=True, slots=True)
class _Strength:
    """The strength of a class on sizes above `over` and up to `up_to`, both nominal diameters."""

    name: str
    over: Quantity
    up_to: Quantity
    proof: Quantity
    tensile: Quantity
    standard: str
    source: str
    known: Known


_READ_SOURCE = "ISO 898-1, mechanical properties, as reprinted"
_DERIVED_SOURCE = "ISO 898-1, loads of coarse threads as reprinted, divided by the stress area"
_SAE_SOURCE = "bolt grade chart of a fastener seller (SAE J429)"


def _iso(name: str, over: int, up_to: int, proof: int, tensile: int, known: Known) -> _Strength:
    sizes = one(f"{over} mm"), one(f"{up_to} mm")
    stresses = one(f"{proof} MPa"), one(f"{tensile} MPa")
    source = _READ_SOURCE if known is Known.READ else _DERIVED_SOURCE
    return _Strength(name, *sizes, *stresses, "ISO 898-1", source, known)


def _sae(name: str, over: str, up_to: str, proof: int, tensile: int) -> _Strength:
    sizes = one(f"{over} in"), one(f"{up_to} in")
    stresses = one(f"{proof} psi"), one(f"{tensile} psi")
    return _Strength(name, *sizes, *stresses, "SAE J429", _SAE_SOURCE, Known.READ)


#: MPa. ISO 898-1 ends at M39; 9.8 ends at M16, above which the printed tables have no loads for it.
_ISO_898 = (
    _iso("4.6", 0, 39, 225, 400, Known.READ),
    _iso("4.8", 0, 39, 310, 420, Known.DERIVED),
    _iso("5.6", 0, 39, 280, 500, Known.DERIVED),
    _iso("5.8", 0, 39, 380, 520, Known.DERIVED),
    _iso("6.8", 0, 39, 440, 600, Known.DERIVED),
    _iso("8.8", 0, 16, 580, 800, Known.READ),
    _iso("8.8", 16, 39, 600, 830, Known.READ),
    _iso("9.8", 0, 16, 650, 900, Known.DERIVED),
    _iso("10.9", 0, 39, 830, 1040, Known.READ),
    _iso("12.9", 0, 39, 970, 1220, Known.READ),
)

#: psi. The smallest size is 1/4 in; numbered sizes, all smaller, are in no row.
_SAE_J429 = (
    _sae("grade 2", "0.249", "3/4", 55_000, 74_000),
    _sae("grade 2", "3/4", "1 1/2", 33_000, 60_000),
    _sae("grade 5", "0.249", "1", 85_000, 120_000),
    _sae("grade 5", "1", "1 1/2", 74_000, 105_000),
    _sae("grade 8", "0.249", "1 1/2", 120_000, 150_000),
)


def _strength(thread: Thread, property_class: PropertyClass) -> _Strength | None:
    across = diameter(thread)
    if across is None:
        return None
    rows = {Series.M: _ISO_898, Series.UNC: _SAE_J429, Series.UNF: _SAE_J429}.get(thread.series, ())
    for row in rows:
        if row.name == property_class.name and row.over.si < across.value.si <= row.up_to.si:
            return row
    return None


def proof_stress(thread: Thread, property_class: PropertyClass) -> Figure[Quantity] | None:
    """Give the stress under proof load: MPa for a class of ISO 898-1, psi for a grade of SAE J429.

    It depends on the size for 8.8, grade 2 and grade 5. None: the thread is not known, or the class does not
    belong to its series or size.
    """
    row = _strength(thread, property_class)
    if row is None:
        return None
    return Figure(row.proof, f"stress under proof load, {row.standard}", row.source, row.known)


def tensile_strength(thread: Thread, property_class: PropertyClass) -> Figure[Quantity] | None:
    """Give the minimum tensile strength; units and None as for `proof_stress`.

    It may be more than the nominal one in the name of the class: 1040 MPa for 10.9.
    """
    row = _strength(thread, property_class)
    if row is None:
        return None
    return Figure(row.tensile, f"minimum tensile strength, {row.standard}", row.source, row.known)


def proof_load(thread: Thread, property_class: PropertyClass) -> Figure[Quantity] | None:
    """Give the load that a bolt takes without lasting stretch, to three figures: N for M, lbf for inches.

    Proof stress times `stress_area`, which meets the printed loads of ISO 898-1 within 1.5 %. None as for
    `proof_stress`.
    """
    return _load(thread, proof_stress(thread, property_class))


def ultimate_load(thread: Thread, property_class: PropertyClass) -> Figure[Quantity] | None:
    """Give the least load at which a bolt breaks, to three figures; units and None as for `proof_load`.

    Minimum tensile strength times `stress_area`. It is for comparing bolts, never a load to work with.
    """
    return _load(thread, tensile_strength(thread, property_class))


def _load(thread: Thread, stress: Figure[Quantity] | None) -> Figure[Quantity] | None:
    area = stress_area(thread)
    if stress is None or area is None:
        return None
    load = rounded(Kind.FORCE, stress.value.si * area.value.si, "N" if thread.series is Series.M else "lbf")
    sources = "; ".join(dict.fromkeys((stress.source, area.source)))
    return Figure(load, f"{stress.value} × {area.value}", sources, Known.DERIVED)
