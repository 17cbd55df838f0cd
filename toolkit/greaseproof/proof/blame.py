"""Whose step a fault is to be mended at, and how a rule tells of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from ..finding import Related, Span
from ..machines.variants import Variants
from ..reading.build import walk_steps
from ..reading.kinds import Ref
from ..reading.model import PolicyRow, Procedure, Step, Thing
from .outcome import Act, Fault, Line, Proof
from .plan import OPPOSITE, concerned
from .proofs import Proofs

__all__ = [
    "Blame", "act_place", "acted_on", "action_on", "blamed", "called", "earlier", "made_at", "named_by",
    "policy_blames", "step_place", "thing_of", "typed",
]


#: The faults after which a job cannot go on.
STOPPING = ("cannot-open", "not-covered")


@dataclass(frozen=True, slots=True)
class Blame:
    """A fault at the place where its procedure's author can mend it.

    `step` is the procedure's own step (None: the procedure as a whole); `because` leads to the called
    procedure's step, where it is there that the fault shows. `variants` leaves out those on which that
    procedure is at fault by itself, which is told there and once.
    """

    fault: Fault
    step: Step | None
    span: Span
    variants: Variants
    because: tuple[Related, ...]
    refitting: bool


def blamed(proof: Proof, proofs: Proofs, *kinds: str) -> Iterator[Blame]:
    """The faults of these kinds that this procedure's author has to mend, each once.

    Where a condition cannot be opened, or a call does not cover the machine, the job cannot go on: what would
    come after that on these machines follows from it, and is not told until it is mended.
    """
    seen: dict[tuple[str, str, str, str | None, str], Blame] = {}
    stopped = proofs.resolver.none
    for fault in proof.faults:
        variants = fault.variants - stopped
        if fault.kind in STOPPING:
            stopped |= fault.variants
        if fault.kind not in kinds or not variants:
            continue
        because: tuple[Related, ...] = ()
        if fault.procedure is not proof.procedure:
            variants -= alone(fault, proofs)
            if not variants:
                continue
            because = (Related(text_place(fault), "is where it happens"),)
        elif fault.path == ("end",):
            variants -= left_by_used(fault, proofs)
            if not variants:
                continue
        step = own_step(fault, proof.procedure)
        refitting = fault.path[0] in ("refit", "close")
        blame = Blame(fault, step, own_place(fault, step, proof, proofs), variants, because, refitting)
        key = (fault.kind, fault.subject, fault.other, step.name if step else None, fault.procedure.id)
        earlier = seen.get(key)
        if earlier is None:
            seen[key] = blame
        elif earlier.fault.procedure is fault.procedure:
            seen[key] = Blame(
                earlier.fault,
                step,
                earlier.span,
                earlier.variants | variants,
                earlier.because,
                earlier.refitting and refitting,
            )
    yield from seen.values()


def alone(fault: Fault, proofs: Proofs) -> Variants:
    """The variants on which a called procedure has this very fault by itself."""
    own = proofs.proof(fault.procedure.id)
    found = proofs.resolver.none
    for other in own.faults if own else ():
        same = (other.kind, other.subject, other.other, other.step) == (
            fault.kind,
            fault.subject,
            fault.other,
            fault.step,
        )
        if same and other.procedure is fault.procedure:
            found |= other.variants
    return found


def left_by_used(fault: Fault, proofs: Proofs) -> Variants:
    """The variants on which a procedure that this one uses leaves the same thing behind by itself."""
    found = proofs.resolver.none
    for used in proofs.with_used(fault.procedure.id)[1:]:
        proof = proofs.proof(used)
        for other in proof.faults if proof else ():
            if (other.kind, other.subject, other.path) == (fault.kind, fault.subject, fault.path):
                found |= other.variants
    return found


def own_step(fault: Fault, procedure: Procedure) -> Step | None:
    """The procedure's own step on the way to a fault: the innermost before another procedure's text."""
    steps = {step.name: step for step in walk_steps(procedure)}
    found = None
    for part in fault.path:
        if part in steps:
            found = steps[part]
        elif part.startswith(("first ", "close ", "call ")):
            break
    return found


def own_place(fault: Fault, step: Step | None, proof: Proof, proofs: Proofs) -> Span:
    """Where to point: at the reference to what is at fault, the key leading there, the step, or all."""
    procedure = proof.procedure
    if step is None:
        if fault.path[0].startswith(("first ", "close ")):
            return ref_place(procedure, "first", fault.path[0].split()[1]) or procedure.span("first")
        ended = act_place(fault.subject, proof)
        return ended[1] if ended else procedure.span("title")
    if fault.procedure is procedure:
        for key in step.node.items:
            place = ref_place(step, key, fault.subject.split(" @ ")[0].split("/")[-1])
            if place is not None:
                return place
        if fault.kind == "not-fitted" and step.given("needs"):
            return step.span("needs")
    for part in fault.path:
        if part.startswith(("first ", "close ")):
            place = ref_place(step, "first", part.split()[1])
            if place is not None:
                return place
        if part.startswith("call ") and step.call is not None:
            return step.span("call")
    return step_place(step)


def ref_place(record: Step | Procedure, key: str, name: str) -> Span | None:
    """The place of the name under one key of a step or procedure, if it stands there."""
    known = type(record).KEYS.get(key)
    value = getattr(record, known.attr) if known is not None else None
    for ref in value if isinstance(value, tuple) else (value,):
        if isinstance(ref, Ref) and ref.id == name:
            return record.place(ref.node)
    if isinstance(value, dict) and name in value and key == "set":
        return record.span(key)
    return None


def step_place(step: Step) -> Span:
    """A place in a step small enough to point at: its sentence, else its first key."""
    if step.given("do"):
        return step.span("do")
    return step.place(next(iter(step.node.items.values()))[0]) if step.node.items else step.span()


def text_place(fault: Fault) -> Span:
    """The place in the text of the procedure in which the fault shows."""
    return step_place(fault.step) if fault.step is not None else fault.procedure.span("title")


def act_place(subject: str, proof: Proof) -> tuple[Step, Span] | None:
    """The last of a procedure's own steps that disturbed a thing, and the thing's name in it."""
    found = None
    for line in proof.lines:
        if line.step is None or line.part in ("refit", "close"):
            continue
        for act in line.acts:
            if act.item.subject == subject and act.action in (
                "slacken",
                "undo",
                "disconnect",
                "remove",
                "drain",
                "set",
                "tighten",
            ):
                found = (
                    line.step,
                    ref_place(line.step, act.action, act.item.thing.id) or step_place(line.step),
                )
    return found


def called(subject: str) -> str:
    """A thing or condition in a sentence: its name as its author wrote it, then the place that is meant."""
    name, _, place = subject.partition(" @ ")
    name = f"`{name.split('/')[-1]}`"
    return f"{name} ({place})" if place else name


def typed(subject: str) -> str:
    """A thing or condition as it is typed into a list: `wheel-nuts`, or `{wheel-nuts: front left}`."""
    name, _, place = subject.partition(" @ ")
    name = name.split("/")[-1]
    return f"{{{name}: {place}}}" if place else name


def thing_of(subject: str, proofs: Proofs) -> Thing | None:
    """The thing that a fault names."""
    owner, _, name = subject.partition(" @ ")[0].rpartition("/")
    return proofs.shop.thing(proofs.shop.procedures.get(owner), name)


def named_by(thing: Thing | None, key: str, subject: str, says: str) -> tuple[Related, ...]:
    """The place under a key of a thing where it names another, with what it says; nothing if it does not."""
    name = subject.partition(" @ ")[0].split("/")[-1]
    refs = getattr(thing, key, ())
    if thing is None or not isinstance(refs, tuple):
        return ()
    return tuple(Related(thing.place(ref.node), says) for ref in refs if ref.id == name)[:1]


def action_on(step: Step | None, subject: str, actions: Iterable[str]) -> str | None:
    """The first of these actions under which a step names a thing."""
    name = subject.partition(" @ ")[0].split("/")[-1]
    found = (action for action in actions if step is not None and ref_place(step, action, name))
    return next(found, None)


def earlier(blame: Blame, proof: Proof, proofs: Proofs, actions: Mapping[str, str]) -> tuple[Related, ...]:
    """The last place before the blamed step at which one of these actions was done to the same thing.

    `actions`: action -> its participle. What a call does, or opening a condition, is told at its own place.
    """
    found: tuple[Related, ...] = ()
    for line in proof.lines:
        if line.step is blame.step and line.step is not None and line.kind in ("step", "call"):
            break
        if not line.variants & blame.variants:
            continue
        used = line.procedure if line.kind in ("open", "call") else None
        for act in acts_within(line, proofs):
            done = actions.get(act.action)
            if done is None or act.item.subject != blame.fault.subject or not act.variants & blame.variants:
                continue
            home = line.step or proof.procedure
            if used is None:
                place = ref_place(home, act.action, act.item.thing.id)
                found = (Related(place or home.span(), f"is where it is {done} before"),)
            else:
                key, name = ("call", used.id)
                if line.condition is not None:
                    key, name = ("first", line.condition.id)
                says = f"is where `{used.id}` has it {done} before"
                found = (Related(ref_place(home, key, name) or home.span(), says),)
    return found


def acts_within(line: Line, proofs: Proofs) -> Iterator[Act]:
    """What is done on a line; where a procedure is called or opens a condition, all that is done there."""
    used = proofs.proof(line.procedure.id) if line.procedure and line.kind in ("open", "call") else None
    if used is None:
        yield from line.acts
        return
    for each in used.lines:
        yield from acts_within(each, proofs)


def policy_blames(proof: Proof, proofs: Proofs) -> Iterator[tuple[Blame, PolicyRow, str | None]]:
    """The faults against the policy, each with the row that it offends, and the thing that is acted on.

    The thing is named as its author wrote it; None for a row that looks only at where a step is done.
    """
    for blame in blamed(proof, proofs, "need-missing"):
        if blame.fault.other:
            row = proofs.shop.policy[int(blame.fault.other)]
            offends = offending(blame.fault, row, proofs)
            place = blame.span
            if blame.step is not None and blame.fault.step is blame.step:
                if offends is not None:
                    place = blame.step.place(offends.node)
                elif row.step.where is not None:
                    place = blame.step.span("where")
            yield replace(blame, span=place), row, f"`{offends.id}`" if offends is not None else None


def offending(fault: Fault, row: PolicyRow, proofs: Proofs) -> Ref | None:
    """What a step acts on that brings it under a row of the policy; None if that is only where it is done."""
    if fault.step is None:
        return None
    acts = proofs.prover.planner.plan(fault.step, fault.procedure).acts
    for action, opposites in OPPOSITE.items():
        if getattr(row.step, action) is not None:
            for done, thing, ref in acts:
                if done in opposites and concerned(row, action, thing):
                    return ref
    return None


def made_at(proof: Proof, name: str) -> tuple[Step, Span] | None:
    """The last of a procedure's own steps that makes a condition, and the condition's name in it."""
    found = [(step, ref) for step in walk_steps(proof.procedure) for ref in step.makes if ref.id == name]
    return (found[-1][0], found[-1][0].place(found[-1][1].node)) if found else None


def acted_on(step: Step, name: str) -> Span | None:
    """The place of a thing's name among a step's actions; None if the step does not name it."""
    for action in ("undo", "slacken", "tighten", "disconnect", "connect", "disturbs"):
        place = ref_place(step, action, name)
        if place is not None:
            return place
    return None
