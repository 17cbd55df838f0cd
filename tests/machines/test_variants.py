"""Sets of variants obey the laws of sets, and mean what catalogue and conditions say of each machine."""

from __future__ import annotations

import copy
import pickle

import pytest
from greaseproof.machines import Feature, Machine, Universe, Variants
from greaseproof.machines.variants import Space
from hypothesis import given, strategies as st

from .universes import LOOKS, QUESTION, Catalogue, as_set, catalogues, conditions, everything, holds


def drawn(data: st.DataObject, many: int) -> tuple[Catalogue, Universe, list[Variants]]:
    catalogue = data.draw(catalogues())
    universe = catalogue.universe()
    return catalogue, universe, [as_set(data.draw(conditions(catalogue)), universe) for _ in range(many)]


@given(st.data())
def test_operations_are_those_of_sets(data: st.DataObject) -> None:
    """De Morgan, absorption, distributivity, complement and difference: one object on both sides."""
    _, universe, (a, b, c) = drawn(data, 3)

    assert ~(a & b) is ~a | ~b
    assert ~(a | b) is ~a & ~b
    assert ~~a is a
    assert a & b is b & a
    assert a | b is b | a
    assert a & (b & c) is (a & b) & c
    assert a | (b | c) is (a | b) | c
    assert a & (a | b) is a
    assert a | (a & b) is a
    assert a & (b | c) is (a & b) | (a & c)
    assert a | (b & c) is (a | b) & (a | c)
    assert a - b is a & ~b
    assert a ^ b is (a | b) - (a & b)
    assert a & ~a is universe.none
    assert a | ~a is universe.all


@given(st.data())
def test_comparisons_agree_with_operations(data: st.DataObject) -> None:
    """Subset, proper subset, disjointness and emptiness say what the operations give."""
    _, universe, (a, b) = drawn(data, 2)

    assert (a - b is universe.none) == (a <= b)
    assert (b - a is universe.none) == (a >= b)
    assert (a <= b and a is not b) == (a < b)
    assert (b <= a and a is not b) == (a > b)
    assert (a & b is universe.none) == a.isdisjoint(b)
    assert (a is not universe.none) == bool(a)
    assert (a is b) == (a == b)
    assert (hash(a) == hash(b)) or a != b


@given(st.data())
def test_a_set_holds_the_machines_of_which_its_condition_is_true(data: st.DataObject) -> None:
    """For every concrete machine; and two sets are one object exactly where they hold the same machines."""
    catalogue = data.draw(catalogues())
    universe = catalogue.universe()
    machines = everything(catalogue)
    first, second = data.draw(conditions(catalogue)), data.draw(conditions(catalogue))
    a, b = as_set(first, universe), as_set(second, universe)

    assert [holds(first, machine) for machine in machines] == [machine in a for machine in machines]
    assert any(holds(first, machine) for machine in machines) == bool(a)
    assert all(holds(first, machine) == holds(second, machine) for machine in machines) == (a is b)


@given(st.data())
def test_settling_looks_and_answers(data: st.DataObject) -> None:
    """`some` and `every` range over the ways to settle them; `settle` puts sets in their place at once."""
    catalogue, universe, (a, b, c) = drawn(data, 3)
    one, other = LOOKS
    ways = universe.ways(QUESTION)

    some, every = universe.some(a, [one, QUESTION]), universe.every(a, [one, QUESTION])
    put = universe.settle(
        a,
        {
            one: {True: b, False: ~b},
            QUESTION: {"good": c, "weak": ways["weak"] - c, "none": ~(c | ways["weak"])},
        },
    )
    swapped = universe.settle(a, {one: universe.ways(other), other: universe.ways(one)})

    for machine in everything(catalogue):

        def likewise(there: bool, answer: str, machine=machine):  # type: ignore[no-untyped-def]
            return type(machine)(
                machine.machine,
                machine.kept,
                machine.axes,
                machine.values,
                {**machine.looks, one: there},
                {QUESTION: answer},
            )

        ways_there = [
            likewise(there, answer) for there in (True, False) for answer in ("good", "weak", "none")
        ]
        assert any(each in a for each in ways_there) == (machine in some)
        assert all(each in a for each in ways_there) == (machine in every)
        answer = "good" if machine in c else "weak" if machine in ways["weak"] else "none"
        assert (likewise(machine in b, answer) in a) == (machine in put)
        looks = {one: machine.looks[other], other: machine.looks[one]}
        mirrored = type(machine)(
            machine.machine, machine.kept, machine.axes, machine.values, looks, machine.answers
        )
        assert (mirrored in a) == (machine in swapped)


def test_a_set_may_depend_on_thousands_of_looks() -> None:
    """No operation nests calls as deep as the set is."""
    universe = Universe([Feature("fuel", ("petrol",))], [Machine("plover", "Plover")])
    any_of, all_of = universe.none, universe.all
    for number in range(3000):
        universe.look(number)
    for number in reversed(range(3000)):
        any_of |= ~universe.look(number)
        all_of &= universe.look(number)

    assert ~all_of is any_of
    assert all_of < universe.look(7)
    assert any_of.isdisjoint(all_of)
    assert universe.some(all_of, range(3000)) is universe.all
    assert list(range(3000)) == universe.asked(all_of)


def test_dropping_what_is_remembered_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Results are worked out again, to the same objects."""
    monkeypatch.setattr("greaseproof.machines.variants.REMEMBERED", 1)
    universe = Universe([Feature("fuel", ("petrol",))], [Machine("plover", "Plover")])
    a, b = universe.look("a"), universe.look("b")
    first = (a & b, a | b, a - b)
    for number in range(5):
        a ^= universe.look(number)
        a ^= universe.look(number)

    assert first == (a & b, a | b, a - b)


def test_misuse_is_refused() -> None:
    """A set is not made by hand, not mixed with another universe's, not pickled; a copy is the set itself."""
    one, other = (Universe([], [Machine("plover", "Plover")]) for _ in range(2))

    with pytest.raises(TypeError, match="is made by a Universe"):
        Variants()
    with pytest.raises(ValueError, match="two different universes"):
        one.look("a") & other.look("a")
    with pytest.raises(ValueError, match="two different universes"):
        one.all <= other.none  # noqa: B015
    with pytest.raises(ValueError, match="two different universes"):
        one.all.isdisjoint(other.none)
    with pytest.raises(TypeError, match="does not combine with int"):
        one.all & 1  # type: ignore[operator]
    with pytest.raises(TypeError, match="cannot be pickled"):
        pickle.dumps(one.all)
    with pytest.raises(TypeError, match="holds no str"):
        "plover" in one.all  # noqa: B015
    assert one.all is copy.deepcopy(copy.copy(one.all))


def test_repr_counts_base_points() -> None:
    """Without words, which need the universe."""
    space = Space(3, lambda variant: (0, lambda level: 0))
    level = space.choice([0b011, 0b011])

    assert "<Variants: all of 1, part of 2 of 3 base points>" == repr(space.chosen(level, [0], 0b100))
