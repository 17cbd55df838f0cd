"""The interpreter does what book/proof.md says: small manuals, and their faults found by hand in the book."""

from __future__ import annotations

import random
from collections import Counter
from itertools import islice
from textwrap import dedent
from typing import Any

from greaseproof.reading.build import Shop, read_manual

from .interpreter import Fault, Job, OneMachine, all_machines, covers, job, machines, run, variants
from .random_manuals import random_manual

KINDS = {
    "need-missing", "not-fitted", "covered", "held", "joined", "done-twice", "put-back-twice",
    "fitted-while-held",
    "earth-not-first-off", "earth-not-last-on", "clash", "cannot-open", "not-covered", "never-restored",
    "never-ended",
}
ONE_MODEL = "machines: {plover: {name: Plover, built: 1954..1961}}"
STARTER = """
    parts:
      starter: {held_by: bolts, joined_by: cable}
      shield: {covers: [nut, bolts], held_by: screws}
    fixings: {bolts: {}, nut: {}, screws: {}}
    connections: {cable: {kind: fuel, fixing: nut}}
"""


def shop_of(
    *, machines: str = ONE_MODEL, parts: str = "", conditions: str = "", policy: str = "", **jobs: str
) -> Shop:
    """Read a manual; `jobs` are procedures by name, `_` for `-`, without their titles and systems."""
    files = {
        "manual.yaml": "{title: The shed, systems: [engine]}", "machines.yaml": dedent(machines),
        "parts.yaml": dedent(parts), "conditions.yaml": dedent(conditions), "policy.yaml": dedent(policy),
    }
    files = {path: text for path, text in files.items() if text}
    for name, text in jobs.items():
        files[f"engine/{name.replace('_', '-')}.yaml"] = "title: Do it\nsystem: engine\n" + dedent(text)
    shop, findings = read_manual(files)
    assert [] == findings
    return shop


def machine_of(shop: Shop, **wanted: Any) -> OneMachine:
    """The first machine that `job` covers and that is as wanted: its id, a feature, or what is there."""
    for machine in all_machines(shop, "job"):
        facts: dict[str, Any] = {"id": machine.id, **machine.axes, **machine.features}
        facts |= {id: there for (_, id), there in machine.there.items()}
        if all(facts[name] == value for name, value in wanted.items()):
            return machine
    raise AssertionError(f"no machine has {wanted}")


def done_by(shop: Shop, **wanted: Any) -> Job:
    return job(shop, "job", machine_of(shop, **wanted))


def faults_of(shop: Shop, **wanted: Any) -> list[Fault]:
    return run(shop, "job", machine_of(shop, **wanted))


def actions_of(done: Job) -> list[str]:
    """Everything that was done, as `action thing, part of the job`, steps as such left out."""
    return [f"{what} {subject}, {' / '.join(path)}" for path, what, subject in done.done if what != "step"]


# ----------------------------------------------------------------------------------------- physical order


def test_refitting_mirrors_the_steps_in_reverse() -> None:
    """A sound job: each step is put back in reverse, remove before undo, and nothing is at fault."""
    shop = shop_of(parts=STARTER, job="""
        steps:
          - {id: bare, undo: screws, remove: shield}
          - {id: cable-off, disconnect: cable}
          - {id: out, undo: bolts, remove: starter}
    """)

    done = done_by(shop)

    assert [] == done.faults
    assert [
        "undo screws, steps / bare", "remove shield, steps / bare", "disconnect cable, steps / cable-off",
        "undo bolts, steps / out", "remove starter, steps / out",
        "fit starter, refit / out", "tighten bolts, refit / out", "connect cable, refit / cable-off",
        "fit shield, refit / bare", "tighten screws, refit / bare",
    ] == actions_of(done)


def test_what_is_held_or_joined_is_not_removed() -> None:
    """A slack fixing still holds; a connection joins by `joined_by` and by its own `at`."""
    shop = shop_of(
        parts="""
            parts: {pump: {held_by: bolts, joined_by: pipe}, board: {}}
            fixings: {bolts: {}, union: {}}
            connections: {pipe: {kind: fuel}, wire: {kind: control, at: {pump: union, board: union}}}
        """,
        job="steps: [{id: out, slacken: bolts, remove: pump}]",
    )

    assert [
        Fault("held", ("steps", "out"), "pump", "bolts"),
        Fault("joined", ("steps", "out"), "pump", "pipe"),
        Fault("joined", ("steps", "out"), "pump", "wire"),
        Fault("fitted-while-held", ("refit", "out"), "pump", "bolts"),
    ] == faults_of(shop)


def test_what_was_tightened_without_its_part_is_found_when_that_is_fitted() -> None:
    """A fixing run back on without its part is not undone by the refitting."""
    shop = shop_of(
        parts="{parts: {wheel: {held_by: nuts}}, fixings: {nuts: {}}}",
        job="steps: [{id: off, undo: nuts, remove: wheel}, {id: nuts-back, tighten: nuts}]",
    )

    assert [Fault("fitted-while-held", ("refit", "off"), "wheel", "nuts")] == faults_of(shop)


def test_a_cover_hides_on_the_way_back_too() -> None:
    """The shield hides the bolts while it is on, at the step and at the refitting; it never hides itself."""
    shop = shop_of(
        parts="""
            parts: {shield: {covers: [bolts, shield]}}
            fixings: {bolts: {}}
        """,
        job="""
            steps:
              - {id: bolts-first, undo: bolts}
              - {id: bare, remove: shield}
              - {id: shield-back, fit: shield}
        """,
    )

    assert [
        Fault("covered", ("steps", "bolts-first"), "bolts", "shield"),
        Fault("covered", ("refit", "bolts-first"), "bolts", "shield"),
    ] == faults_of(shop)


def test_nothing_is_done_twice() -> None:
    """What is off cannot come off, what is on cannot go on; a fixing that is off does not get slack."""
    shop = shop_of(
        parts="{parts: {lid: {}}, fixings: {bolts: {}}, fluids: {oil: {}}}",
        job="""
            steps:
              - {id: a, slacken: bolts}
              - {id: b, slacken: bolts, undo: bolts}
              - {id: c, slacken: bolts, undo: bolts, drain: oil}
              - {id: d, drain: oil, remove: lid}
              - {id: e, remove: lid, fit: lid, fill: oil}
              - {id: f, fit: lid, fill: oil}
        """,
    )

    assert [
        Fault("done-twice", ("steps", "b"), "bolts"),
        Fault("done-twice", ("steps", "c"), "bolts"),
        Fault("done-twice", ("steps", "c"), "bolts"),
        Fault("done-twice", ("steps", "d"), "oil"),
        Fault("done-twice", ("steps", "e"), "lid"),
        Fault("put-back-twice", ("steps", "f"), "lid"),
        Fault("put-back-twice", ("steps", "f"), "oil"),
    ] == faults_of(shop)


def test_disconnecting_takes_the_fixings_along() -> None:
    """A connection's fixing, its ends and its clips come off with it and go tight with it."""
    parts = """
        parts: {board: {}}
        fixings: {nut: {}, stud: {}, clip: {kind: clip}}
        connections: {loom: {kind: control, fixing: nut, at: {board: stud}, along: clip}}
    """
    shop = shop_of(parts=parts, job="""
        steps: [{id: off, disconnect: loom}, {id: again, undo: [nut, stud, clip]}]
    """)

    again = ("steps", "again")
    assert [Fault("done-twice", again, name) for name in ("nut", "stud", "clip")] == faults_of(shop)


BATTERY = """
    connections:
      earth-lead: {kind: battery, role: earth}
      second-earth: {kind: battery, role: earth, fitted: look}
      live-lead: {kind: battery, role: live}
"""


def test_the_earth_comes_off_first() -> None:
    """With a second battery that is there, both earth leads must be off before the live one."""
    shop = shop_of(parts=BATTERY, job="steps: [{id: off, disconnect: [earth-lead, live-lead]}]")

    assert [] == faults_of(shop, **{"second-earth": False})
    assert [
        Fault("earth-not-first-off", ("steps", "off"), "live-lead"),
        Fault("earth-not-last-on", ("refit", "off"), "live-lead"),
    ] == faults_of(shop, **{"second-earth": True})


def test_the_earth_goes_on_last() -> None:
    """Mirrored one by one the earth lead comes last; connected by hand too early it does not."""
    shop = shop_of(parts=BATTERY, job="""
        steps:
          - {id: off, disconnect: [earth-lead, live-lead]}
          - {id: on, connect: [earth-lead, live-lead]}
    """)

    on = ("steps", "on")
    assert [Fault("earth-not-last-on", on, "live-lead")] == faults_of(shop, **{"second-earth": False})


# ------------------------------------------------------------------------------------- presence and places


def test_what_is_absent_neither_acts_nor_holds() -> None:
    """A step vanishes with its needs where its things are absent, be it with what they come with."""
    shop = shop_of(
        machines="""
            features: {fuel: [petrol, diesel]}
            machines: {plover: {name: Plover, built: 1954, has: {fuel: [petrol, diesel]}}}
        """,
        parts="""
            parts: {shield: {fitted: look, covers: nut}, pump: {held_by: [nut, screws]}}
            fixings: {screws: {with: shield}, nut: {unless: {fuel: diesel}}}
        """,
        conditions="safe: {ends: must}",
        job="""
            steps:
              - {id: screws-out, undo: screws, needs: safe}
              - {id: out, remove: pump}
        """,
    )

    assert [] == faults_of(shop, shield=False, fuel="diesel")
    assert [
        Fault("held", ("steps", "out"), "pump", "nut"),
        Fault("fitted-while-held", ("refit", "out"), "pump", "nut"),
    ] == faults_of(shop, shield=False, fuel="petrol")
    assert [
        Fault("need-missing", ("steps", "screws-out"), "safe"),
        Fault("held", ("steps", "out"), "pump", "nut"),
        Fault("fitted-while-held", ("refit", "out"), "pump", "nut"),
        Fault("need-missing", ("refit", "screws-out"), "safe"),
    ] == faults_of(shop, shield=True, fuel="petrol")


WHEELS = """
    parts: {wheel: {places: [left, right], held_by: nuts}, axle: {held_by: {nuts: left}}}
    fixings: {nuts: {places: [left, right]}}
"""


def test_a_repeat_gives_the_places() -> None:
    """In a round a name means the thing at that place, unless another place is written."""
    shop = shop_of(parts=WHEELS, job="""
        steps:
          - id: wheels
            repeat: [right, left]
            steps:
              - {id: off, undo: nuts, remove: wheel}
              - {id: axle-out, remove: axle, fit: axle}
    """)

    done = done_by(shop)

    inside = ("steps", "wheels", "@ right", "steps", "axle-out")
    assert [
        Fault("held", inside, "axle", "nuts @ left"),
        Fault("fitted-while-held", inside, "axle", "nuts @ left"),
    ] == done.faults
    assert [
        f"{what}, refit / wheels / @ {place} / steps / off"
        for place in ("left", "right") for what in (f"fit wheel @ {place}", f"tighten nuts @ {place}")
    ] == actions_of(done)[-4:]


def test_a_repeat_may_differ_by_machine() -> None:
    """A group is done for the items given on this machine, and not at all where none are given."""
    shop = shop_of(
        machines="machines: {plover: {name: Plover, built: 1954..1956}}",
        parts=WHEELS,
        job="""
            steps:
              - id: wheels
                repeat: {..1954: [left], 1955: [left, right]}
                steps: [{id: off, remove: wheel}]
        """,
    )

    jobs = [run(shop, "job", machine) for machine in all_machines(shop, "job")]
    told = [[fault.subject for fault in faults if fault.kind == "held"] for faults in jobs]

    assert [["wheel @ left"], ["wheel @ left", "wheel @ right"], []] == told


def test_calls_and_openings_take_the_place_with_them() -> None:
    """A call inside a round, and the opening of a condition at a place, mean that place."""
    shop = shop_of(
        parts=WHEELS,
        conditions="raised: {places: [left, right], opened_by: jack-up, ends: must}",
        job="""
            first: {raised: right}
            steps: [{id: wheels, repeat: [left], steps: [{id: off, call: wheel-off}]}]
        """,
        wheel_off="steps: [{id: take-it, remove: wheel, needs: raised}]",
        jack_up="steps: [{id: ease, slacken: nuts}]",
    )

    done = done_by(shop)

    call = ("wheels", "@ left", "steps", "off", "call wheel-off")
    assert [
        Fault("need-missing", ("steps", *call, "steps", "take-it"), "raised @ left"),
        Fault("held", ("steps", *call, "steps", "take-it"), "wheel @ left", "nuts @ left"),
        Fault("need-missing", ("refit", *call, "refit", "take-it"), "raised @ left"),
        Fault("fitted-while-held", ("refit", *call, "refit", "take-it"), "wheel @ left", "nuts @ left"),
    ] == done.faults
    assert "slacken nuts @ right, first raised @ right / steps / ease" == actions_of(done)[0]
    assert "tighten nuts @ right, close raised @ right / refit / ease" == actions_of(done)[-1]


def test_own_things_are_written_with_their_procedure() -> None:
    """Two procedures' own things of one name are two things."""
    shop = shop_of(
        job="""
            fixings: {screw: {}}
            steps: [{id: mine, undo: screw}, {id: theirs, call: other}, {id: again, undo: screw}]
        """,
        other="""
            fixings: {screw: {}}
            steps: [{id: out, undo: screw}]
            finally: [{id: loose, slacken: screw}]
        """,
    )

    assert [
        Fault("done-twice", ("steps", "again"), "job/screw"),
        Fault("never-restored", ("end",), "other/screw"),
    ] == faults_of(shop)


def test_what_covers_and_joins_is_shared_or_of_the_procedure_itself() -> None:
    """Another procedure's own cover and pipe are nothing to this one, even while that one is called."""
    shop = shop_of(
        parts="{parts: {pump: {}}, fixings: {nut: {}}}",
        job="steps: [{id: a, undo: nut}, {id: b, call: other}, {id: c, remove: pump}]",
        other="""
            parts: {guard: {covers: nut}}
            connections: {pipe: {kind: fuel, at: {pump: nut}}}
            steps: [{id: d, tighten: nut}]
        """,
    )

    assert [
        Fault("covered", ("steps", "b", "call other", "steps", "d"), "nut", "other/guard")
    ] == faults_of(shop)


# --------------------------------------------------------------------------------------------- conditions


def test_what_holds_already_is_not_opened_nor_closed() -> None:
    """A step's `first` skips what the procedure's `first` opened; so it still holds in the next step."""
    shop = shop_of(
        conditions="chocked: {opened: Chock., ends: must}",
        job="""
            first: chocked
            steps:
              - {id: a, do: Push., first: chocked}
              - {id: b, do: Push., needs: chocked}
        """,
    )

    done = done_by(shop)

    assert [] == done.faults
    assert ["first chocked, first chocked", "close chocked, close chocked"] == actions_of(done)


def test_what_a_step_opens_is_closed_after_it_in_reverse() -> None:
    """A group's `first` holds for its steps and is closed, in reverse, before the next step."""
    shop = shop_of(
        conditions="{dry: {opened: Dry., ends: must}, lit: {opened: Light., ends: itself}}",
        job="""
            steps:
              - {id: a, first: [dry, lit], steps: [{id: look, do: Look., needs: [lit, dry]}]}
              - {id: b, do: Look., needs: lit}
        """,
    )

    done = done_by(shop)

    assert [Fault("need-missing", ("steps", "b"), "lit")] == done.faults
    assert [
        "first dry, steps / a / first dry", "first lit, steps / a / first lit",
        "close lit, steps / a / close lit", "close dry, steps / a / close dry",
    ] == actions_of(done)


def test_the_opener_is_closed_with_its_refitting_its_own_first_and_its_finally() -> None:
    """Closing what a procedure opened: refitting, closing of its `first`, then its `finally`."""
    shop = shop_of(
        parts="{parts: {lid: {}}}",
        conditions="""
            open: {means: {off: lid}, opened_by: open-up, ends: must}
            lit: {opened: Light., ends: must}
        """,
        job="""
            first: open
            steps: [{id: look, do: Look., needs: open}]
        """,
        open_up="""
            first: lit
            steps: [{id: lid-off, remove: lid}]
            finally: [{id: try-it, do: Try., needs: [open, lit]}]
        """,
    )

    done = done_by(shop)

    assert [
        Fault("need-missing", ("close open", "finally", "try-it"), "open"),
        Fault("need-missing", ("close open", "finally", "try-it"), "lit"),
    ] == done.faults
    assert [
        "first lit, first open / first lit", "remove lid, first open / steps / lid-off",
        "first open, first open",
        "close open, close open", "fit lid, close open / refit / lid-off",
        "close lit, close open / close lit",
    ] == actions_of(done)


def test_a_condition_that_cannot_be_opened_is_told() -> None:
    """By nothing; by a procedure that does not bring it about; by one that does not cover the machine."""
    shop = shop_of(
        parts="{parts: {lid: {}, cap: {}}, controls: {tap: {settings: [open, shut], normally: shut}}}",
        conditions="""
            warm: {ends: itself}
            open: {means: {off: [lid, cap]}, opened_by: open-up, ends: must}
            late: {opened_by: for-late-ones, ends: must}
        """,
        job="""
            first: [warm, open, late]
            steps: [{id: go, call: for-late-ones}]
        """,
        open_up="steps: [{id: off, remove: lid}]",
        for_late_ones="""
            applies: {built: 1962..}
            steps: [{id: go, do: Go.}]
        """,
    )

    assert [
        Fault("cannot-open", ("first warm",), "warm"),
        Fault("cannot-open", ("first open",), "open"),
        Fault("not-covered", ("first late",), "for-late-ones"),
        Fault("not-covered", ("steps", "go", "call for-late-ones"), "for-late-ones"),
        Fault("never-restored", ("end",), "lid"),
    ] == faults_of(shop)


def test_a_meaning_speaks_of_what_is_there() -> None:
    """Where nothing is there it does not hold, unless it says so; nor where no clause is given."""
    shop = shop_of(
        machines="machines: {plover: {name: Plover, built: 1954..1955}}",
        parts="""
            parts: {lid: {fitted: look}}
            connections: {earth-lead: {kind: battery, role: earth, places: [front, rear]}}
        """,
        conditions="""
            bare: {means: {off: lid}, ends: must}
            bare-or-none: {means: {off: lid}, none: holds, ends: must}
            dead: {means: {..1954: {off: {role: earth}}}, ends: must}
        """,
        job="""
            steps:
              - {id: a, disconnect: {earth-lead: front}}
              - {id: b, do: Look., needs: [bare, bare-or-none, dead]}
              - {id: c, disconnect: {earth-lead: rear}}
              - {id: d, do: Look., needs: [dead]}
        """,
    )
    b, d = ("steps", "b"), ("steps", "d")

    told = {
        (machine.axes["built"], machine.there["", "lid"]): run(shop, "job", machine)
        for machine in all_machines(shop, "job")
    }

    bare, none = Fault("need-missing", b, "bare"), Fault("need-missing", b, "bare-or-none")
    dead, dead_still = Fault("need-missing", b, "dead"), Fault("need-missing", d, "dead")
    assert {
        (1954, True): [bare, none, dead], (1954, False): [bare, dead],
        (1955, True): [bare, none, dead, dead_still], (1955, False): [bare, dead, dead_still],
    } == told


def test_a_sentence_carries_out_a_meaning_and_its_closing_undoes_it() -> None:
    """`must` puts controls and things back, `itself` leaves them, `stays` is not even closed."""
    shop = shop_of(
        parts="""
            parts: {cap: {}, lid: {}}
            controls:
              tap: {settings: [open, shut], normally: shut}
              brake: {settings: [set, free], normally: free}
        """,
        conditions="""
            flowing: {means: {off: cap, set: {tap: open}}, opened: Open., ends: must}
            braked: {means: {set: {brake: set}}, opened: Set., ends: stays}
            lidless: {means: {off: lid}, opened: Lift., ends: itself}
        """,
        job="""
            first: [flowing, braked, lidless]
            steps: [{id: a, do: Look., needs: [flowing, braked, lidless]}]
        """,
    )

    done = done_by(shop)

    assert [
        Fault("never-restored", ("end",), "brake"), Fault("never-restored", ("end",), "lid"),
    ] == sorted(done.faults)
    assert ["close lidless, close lidless", "close flowing, close flowing"] == actions_of(done)[3:]


def test_conditions_clash_and_get_lost() -> None:
    """`against` works both ways; what is `lost_by` another ceases when that begins, at the same place."""
    shop = shop_of(
        conditions="""
            running: {ends: must, against: raised}
            raised: {ends: must, places: [left, right]}
            cold: {ends: itself, lost_by: running}
            wet: {ends: itself, places: [left, right], lost_by: raised}
        """,
        job="""
            steps:
              - {id: a, do: Wait., makes: [cold, wet]}
              - {id: b, do: Raise., makes: {raised: left}}
              - {id: c, do: Run., makes: running}
              - {id: d, do: Raise., makes: {raised: right}, ends: {raised: left}}
              - {id: e, do: Look., needs: [cold, wet, raised]}
              - {id: f, do: Stop., ends: [running, {raised: right}], makes: wet}
        """,
    )

    assert [
        Fault("clash", ("steps", "c"), "running", "raised @ left"),
        Fault("clash", ("steps", "d"), "raised @ right", "running"),
        Fault("need-missing", ("steps", "e"), "cold"),
        Fault("need-missing", ("steps", "e"), "wet @ left"),
        Fault("need-missing", ("steps", "e"), "wet @ right"),
        Fault("need-missing", ("steps", "e"), "raised @ left"),
    ] == faults_of(shop)


# --------------------------------------------------------------------------------------- policy and needs


def test_a_row_of_the_policy_asks_of_the_step_its_mirror_and_what_disturbs() -> None:
    """The row concerns doing, putting back, disturbing; not what `except` picks out, nor steps elsewhere."""
    shop = shop_of(
        parts="""
            connections: {pipe: {kind: fuel}, earth-lead: {kind: fuel, role: earth}, hose: {kind: air}}
        """,
        conditions="cold: {ends: itself}",
        policy="""
            - step: {disconnect: {kind: fuel}, where: inside}
              except: {role: earth}
              needs: cold
              because: It burns.
              source: common practice, no source
        """,
        job="""
            steps:
              - {id: a, disconnect: [earth-lead, hose], where: inside}
              - {id: b, disturbs: pipe}
              - {id: c, disturbs: pipe, where: inside}
              - {id: d, disconnect: pipe, where: inside}
        """,
    )
    row = str(len(shop.policy) - 1)

    assert [
        Fault("need-missing", path, "cold", row) for path in (("steps", "c"), ("steps", "d"), ("refit", "d"))
    ] == faults_of(shop)


def test_parts_that_must_be_fitted() -> None:
    """`fitted` is told for a part that is there and off; in refitting only conditions are asked again."""
    shop = shop_of(
        parts="{parts: {belt: {}, guard: {fitted: look}}}",
        conditions="safe: {ends: itself}",
        job="""
            needs: [{fitted: belt}]
            steps:
              - {id: a, remove: [belt, guard]}
              - {id: b, set: {tap: open}, needs: [{fitted: [belt, guard]}, safe]}
            controls: {tap: {settings: [open, shut], normally: shut}}
        """,
    )

    assert [
        Fault("not-fitted", ("steps", "b"), "belt"), Fault("need-missing", ("steps", "b"), "safe"),
        Fault("need-missing", ("refit", "b"), "safe"),
    ] == faults_of(shop, guard=False)


# --------------------------------------------------------------------------------------- closing, the end


def test_the_mirror_of_a_step_makes_sure_again() -> None:
    """What a step needed to be opened is opened again for putting back, and closed after it."""
    shop = shop_of(
        parts="{parts: {lid: {}}}",
        conditions="lit: {opened: Light., ends: must}",
        job="steps: [{id: a, remove: lid, first: lit, needs: lit}, {id: b, do: Look., first: lit}]",
    )

    done = done_by(shop)

    assert [] == done.faults
    assert [
        "first lit, steps / a / first lit", "remove lid, steps / a", "close lit, steps / a / close lit",
        "first lit, steps / b / first lit", "close lit, steps / b / close lit",
        "first lit, refit / a / first lit", "fit lid, refit / a", "close lit, refit / a / close lit",
    ] == actions_of(done)


def test_controls_go_back_to_normal_only_where_the_step_put_them_elsewhere() -> None:
    """A control without `normally` stays; one that the author has put back is not touched again."""
    shop = shop_of(
        parts="""
            controls:
              tap: {settings: [open, shut], normally: shut}
              gear: {settings: [low, high], normally: low}
              screw: {settings: [in, out]}
        """,
        job="""
            steps: [{id: a, set: {tap: open, gear: high, screw: out}}, {id: b, set: {gear: low}}]
            finally: [{id: c, set: {tap: open}}]
        """,
    )

    done = done_by(shop)

    assert [Fault("never-restored", ("end",), "tap")] == done.faults
    assert ["set tap, refit / a", "set tap, finally / c"] == actions_of(done)[-2:]


def test_a_call_is_mirrored_and_in_finally_closed_at_the_end() -> None:
    """The closing half of a called procedure stands in the place of its call, or after everything."""
    shop = shop_of(
        parts="{parts: {lid: {}, cap: {}}}",
        job="""
            steps: [{id: a, remove: cap, call: lid-off}]
            finally: [{id: b, steps: [{id: c, call: lid-off}]}, {id: d, fit: cap}]
        """,
        lid_off="steps: [{id: off, remove: lid}]",
    )

    done = done_by(shop)

    assert [Fault("put-back-twice", ("finally", "d"), "cap")] == done.faults
    assert [
        "remove cap, steps / a", "remove lid, steps / a / call lid-off / steps / off",
        "fit lid, refit / a / call lid-off / refit / off", "fit cap, refit / a",
        "remove lid, finally / b / steps / c / call lid-off / steps / off", "fit cap, finally / d",
        "fit lid, close finally / b / steps / c / call lid-off / refit / off",
    ] == actions_of(done)


def test_a_called_procedure_proves_that_it_works_once_the_machine_is_whole() -> None:
    """Its `finally` waits for the caller's closing; of a call in `finally` it follows that closing."""
    shop = shop_of(
        parts="{parts: {lid: {}, cap: {}}}",
        conditions="lit: {opened: Light, ends: must}",
        job="""
            first: lit
            steps: [{id: a, call: lid-off}, {id: b, remove: cap}]
            finally: [{id: c, do: Try, needs: [{fitted: [lid, cap]}, lit]}, {id: d, call: lid-off}]
        """,
        lid_off="""
            steps: [{id: off, remove: lid, needs: lit}]
            finally: [{id: try, do: Try, needs: [{fitted: [lid, cap]}, lit]}]
        """,
    )

    call = "call lid-off"
    assert [
        Fault("need-missing", path, "lit") for path in (
            ("finally", call, "finally", "try"), ("finally", "c"),
            ("finally", "d", call, "steps", "off"), ("close finally", "d", call, "refit", "off"),
            ("close finally", "d", call, "finally", "try"),
        )
    ] == faults_of(shop)


def test_everything_touched_must_be_as_it_was() -> None:
    """What `finally` leaves loose, off or drained is told, and a condition that must end."""
    shop = shop_of(
        parts="""
            fixings: {a: {}, b: {}}
            parts: {lid: {}}
            connections: {pipe: {kind: fuel}}
            fluids: {oil: {}}
        """,
        conditions="{running: {ends: must}, warm: {ends: itself}}",
        job="""
            steps: [{id: run, do: Run., makes: [running, warm]}]
            finally:
              - {id: leave, slacken: a, tighten: b, to: hand, remove: lid, disconnect: pipe, drain: oil}
        """,
    )

    expected = [Fault("never-restored", ("end",), name) for name in ("a", "b", "lid", "oil", "pipe")]
    assert [Fault("never-ended", ("end",), "running"), *expected] == sorted(faults_of(shop))


# ----------------------------------------------------------------------------------------------- machines


def test_the_machines_of_a_shop() -> None:
    """Options multiply, years and builds tie them, a kept machine departs from its model."""
    shop = shop_of(
        machines="""
            features: {charging: [dynamo, alternator], fuel: [petrol, diesel], hitch: [ball, pin]}
            hardware: {..1954: unified, 1955..: metric}
            machines:
              plover:
                name: Plover
                built: 1954..1955
                has:
                  - {fuel: petrol, charging: {..1954: dynamo, 1955..: [dynamo, alternator]}}
                  - {fuel: diesel}
            kept:
              "7": {machine: plover, built: 1954, has: {charging: alternator}}
        """,
        parts="{parts: {lid: {fitted: look}}}",
        job="""
            applies: {charging: alternator, kept: "7"}
            steps: [{id: a, do: Look.}]
        """,
    )

    found = [(m.id, m.axes["built"], *m.features.values()) for m in variants(shop)]

    assert [
        ("7", 1954, "alternator", "diesel", "absent", "unified"),
        ("7", 1954, "alternator", "petrol", "absent", "unified"),
        ("plover", 1954, "absent", "diesel", "absent", "unified"),
        ("plover", 1954, "dynamo", "petrol", "absent", "unified"),
        ("plover", 1955, "absent", "diesel", "absent", "metric"),
        ("plover", 1955, "alternator", "petrol", "absent", "metric"),
        ("plover", 1955, "dynamo", "petrol", "absent", "metric"),
    ] == sorted(found)
    assert [("7", True), ("7", False)] * 2 == [(m.id, m.there["", "lid"]) for m in all_machines(shop, "job")]
    drawn = list(islice(machines(shop, random.Random(1)), 200))
    assert {True, False} == {machine.there["", "lid"] for machine in drawn}
    assert {"7"} == {machine.id for machine in drawn if covers(shop, "job", machine)}


def test_a_machine_without_serial_numbers_is_in_no_stretch_of_them() -> None:
    """Unless what it has depends on them: then it may have any."""
    shop = shop_of(
        machines="""
            features: {charging: [dynamo, alternator]}
            machines:
              plover: {name: Plover, built: 1954, has: {charging: dynamo}}
              major: {name: Major, built: 1954, has: {charging: {serial: {..8: dynamo, 9..: alternator}}}}
        """,
        job="steps: [{id: a, do: Look., when: {serial: 8..}}]",
    )

    done = [
        (m.id, *m.axes.values(), m.features["charging"], bool(job(shop, "job", m).done))
        for m in variants(shop)
    ]

    assert [
        ("plover", 1954, "dynamo", False), ("major", 1954, 7, "dynamo", False),
        ("major", 1954, 8, "dynamo", True), ("major", 1954, 9, "alternator", True),
        ("major", 1954, 10, "alternator", True),
    ] == done


def test_a_kept_machine_is_proven_as_it_is() -> None:
    """A converted machine has the faults of its conversion, and still counts as its model."""
    shop = shop_of(
        machines="""
            features: {charging: [dynamo, alternator]}
            machines: {plover: {name: Plover, built: 1954, has: {charging: dynamo}}}
            kept: {"7": {machine: plover, has: {charging: alternator}}}
        """,
        parts="""
            parts: {lid: {held_by: [bolt, strap]}}
            fixings: {bolt: {when: {charging: alternator}}, strap: {}}
        """,
        job="""
            applies: {machine: plover}
            steps: [{id: out, undo: strap, remove: lid}]
        """,
    )

    assert [] == faults_of(shop, id="plover")
    assert [
        Fault("held", ("steps", "out"), "lid", "bolt"),
        Fault("fitted-while-held", ("refit", "out"), "lid", "bolt"),
    ] == faults_of(shop, id="7")


# ------------------------------------------------------------------------------------------ drawn manuals


def test_drawn_manuals_reach_every_kind_of_fault_and_are_sound_too() -> None:
    """Drawn manuals are well-formed; each kind of fault is frequent in their jobs, and so is none."""
    told: Counter[str] = Counter()
    for seed in range(60):
        rng = random.Random(seed)
        shop, findings = read_manual(random_manual(rng))
        assert [] == findings
        for procedure in shop.procedures:
            for machine in islice(machines(shop, rng), 6):
                if covers(shop, procedure, machine):
                    told.update({fault.kind for fault in run(shop, procedure, machine)} or {"none"})

    assert KINDS | {"none"} == {kind for kind, count in told.items() if count >= 10}
