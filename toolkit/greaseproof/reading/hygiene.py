"""Traps of YAML that give no error: the file reads, but not as its author meant it.

Whatever looks at the whole text asks first, with a plain search, whether the trap can be there at all: most
files have none, and reading must stay quick.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from yaml.error import Mark
from yaml.events import AliasEvent, CollectionStartEvent, ScalarEvent

from ..finding import Finding, Level
from .source import Source, marks, quoted, shortened
from .tree import Mapping, Node, Scalar, Sequence, between

__all__ = ["cut_by_hash", "needs_care", "remark", "with_care"]


# --- events that need care ---


_FOLD = re.compile(r"(?<![ \t])[ \t]*[\r\n]+[ \t\r\n]*")


def needs_care(source: Source) -> bool:
    """Whether the text may have anchors, aliases, tags, text blocks, `?` keys or stand-ins."""
    text = source.working
    return (
        "&" in text
        or "*" in text
        or "!" in text
        or "|" in text
        or ">" in text
        or "?" in text
        or bool(source.stand_ins)
    )


def with_care(next_event: Callable[[], Any], source: Source, findings: list[Finding]) -> Callable[[], Any]:
    """Pass the parser's events on without anchors, aliases, tags and stand-ins, and with tight ends."""

    merging = False

    def careful() -> Any:
        nonlocal merging
        event = next_event()
        if isinstance(event, AliasEvent):
            if not merging:  # else it is told by the merge key
                findings.append(_alias(event, source))
            start, end = marks(event)
            written = source.restore(source.working[start.index : end.index])
            return ScalarEvent(None, None, (True, False), written, start, end, "")
        if isinstance(event, ScalarEvent):
            if event.anchor or event.tag:
                findings.append(_property(event, source))
                if not event.style:
                    start, end = marks(event)
                    event.value = _FOLD.sub(" ", source.working[start.index : end.index])
            elif not event.value and not event.style:
                event.start_mark = event.end_mark = _drawn_back(marks(event)[0], source)
            elif event.style in ("|", ">"):
                event.end_mark = _drawn_back(marks(event)[1], source)
            event.value = source.restore(event.value)
            merging = event.value == "<<" and not event.style
        elif isinstance(event, CollectionStartEvent) and (event.anchor or event.tag):
            findings.append(_property(event, source))
        return event

    return careful


def _drawn_back(mark: Mark, source: Source) -> Mark:
    """The end of the last text before a mark: a text block ends there, and a missing value stands there."""
    index = mark.index
    while index and source.text[index - 1] in " \t\r\n":
        index -= 1
    line = source.line(index)
    return Mark(mark.name, index, line, index - source.bounds(line)[0], None, 0)


def _alias(event: Any, source: Source) -> Finding:
    start, end = event.start_mark.index, event.end_mark.index
    written = source.text[start:end]
    return source.finding(
        "alias",
        start,
        end,
        f"`{written}` is read by YAML as an alias, a pointer to another place in the file",
        f"write out in full what is meant, or put the text in quotes: {quoted(written)}",
    )


def _property(event: Any, source: Source) -> Finding:
    """An anchor or a tag in front of a value, or a sentence that begins like one."""
    start = event.start_mark.index
    text = source.text[start : event.end_mark.index].strip()
    mark = (text.split() or [""])[0]
    tag = text.startswith("!")
    rule, kind = ("tag", "a tag") if tag else ("anchor", "an anchor")
    mend = f"delete `{mark}`"
    if isinstance(event, ScalarEvent) and not event.style:
        what = "sentence" if " " in text else "text"
        mend = f"put the {what} in quotes: {quoted(text)}, or delete `{mark}` if it is not part of the text"
    end = start + len(mark)
    return source.finding(rule, start, end, f"`{mark}` is read by YAML as {kind}, not as text", mend)


# --- remarks on what was read ---


def remark(
    source: Source,
    root: Node,
    in_brackets: list[Sequence | Mapping],
    one_key: list[Mapping],
    findings: list[Finding],
) -> None:
    """Add a finding for everything in a file that reads well and yet means something else.

    `in_brackets` are the lists and mappings in brackets, `one_key` the other mappings with one key that has a
    space: there sentences may hide.
    """
    for mapping in one_key:
        findings += _prose_as_key(mapping, source)
    for node in in_brackets:
        if type(node) is Mapping:
            for key, value in node.items.values():
                text = value.text if type(value) is Scalar else ""
                if " " in key.text or (" " in text and text[0].isalpha()):
                    findings += _prose_in_brackets(node, source)
                    break
        elif type(node) is Sequence:
            for item in node.items:
                if type(item) is Scalar and " " in item.text and item.text[0].isalpha():
                    findings += _prose_in_brackets(node, source)
                    break
    text = source.working
    if "#" in text and (" #" in text or "\t#" in text):  # one character is found at once
        findings += _texts_cut_by_hash(source, root)
    if "<" in text and "<<" in text:
        findings += _merge_keys(source, root)
    if _TIGHT.search(text):
        findings += _entries_without_space(source, root, whole=True)


def _scalars(node: Node) -> Iterator[Scalar]:
    """All keys and values in and below a node."""
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _scalars(item)
    else:
        for key, value in node.items.values():
            yield key
            yield from _scalars(value)


def _merge_keys(source: Source, node: Node) -> Iterator[Finding]:
    """Findings for `<<`; the key is taken out, for it names nothing."""
    if isinstance(node, Sequence):
        for item in node.items:
            yield from _merge_keys(source, item)
    elif isinstance(node, Mapping):
        if "<<" in node.items and node.items["<<"][0].plain:
            key, _ = node.items.pop("<<")
            yield Finding(
                "merge-key",
                Level.ERROR,
                between(key, key, source.file),
                "`<<` does not copy other entries here",
                mend="delete the line and write the entries out in full",
            )
        for _, value in node.items.values():
            yield from _merge_keys(source, value)


# --- prose ---

_CLOSED = (".", "!", "?", "…", ".)", ".”", ".’")

#: Words that carry a sentence on after a comma. Ids and sizes do not begin with them.
_JOINING = ("and", "because", "but", "or", "so", "then", "until", "while", "which")


def is_sentence(text: str) -> bool:
    """Whether a text is prose: it begins like a sentence and goes on like one, or ends like one.

    Names such as `Plover Major`, ids and quantities are not; `Lift it.` is.
    """
    words = text.split()
    if len(words) < 2 or not text[0].isalpha():
        return False
    if text.endswith(_CLOSED) and (len(words) > 2 or text[0].isupper()):
        return True
    running = sum(1 for word in words[1:] if word[0].islower())
    return text[0].isupper() and len(words) > 3 and 2 * running > len(words) - 1


def _prose_as_key(node: Mapping, source: Source) -> Iterator[Finding]:
    """A sentence with a colon, of which YAML makes a mapping with one key."""
    [(key, value)] = node.items.values()
    rest = value.text if isinstance(value, Scalar) else "…"
    if key.plain and (is_sentence(key.text) or (key.text[:1].isupper() and is_sentence(rest))):
        yield Finding(
            "colon-in-text",
            Level.ERROR,
            between(key, key, source.file),
            f"the colon after {quoted(key.text)} makes a key of this text",
            mend=f"put the whole sentence in quotes: {quoted(f'{key.text}: {rest}')}",
        )


def _prose_in_brackets(node: Sequence | Mapping, source: Source) -> Iterator[Finding]:
    pieces = _pieces(node)
    prose = [
        number
        for number, (piece, _) in enumerate(pieces)
        if piece.plain and (is_sentence(piece.text) or _carries_on(pieces, number))
    ]
    if not prose:
        return
    first, last = prose[0], prose[-1]
    if _carries_on(pieces, first):
        first -= 1
    begin, end = pieces[first][0], pieces[last][0]
    brackets, apart = ("{ }", "each key on a line of its own")
    if isinstance(node, Sequence):
        brackets, apart = ("[ ]", "each text on a line of its own behind `- `")
    written = quoted(source.text[begin.start.index : end.end.index])
    yield Finding(
        "prose-in-brackets",
        Level.ERROR,
        between(begin, end, source.file),
        f"prose stands inside {brackets}, where a comma ends the text",
        mend=f"put {apart}, without {brackets}, and the sentence in quotes: {written}",
    )


def _pieces(node: Sequence | Mapping) -> list[tuple[Scalar, bool]]:
    """The texts between the commas, each with whether it may be the rest of the text before it.

    They are the items of a list; of a mapping the values, and the keys without a value, which may be rests.
    """
    if isinstance(node, Sequence):
        return [(item, item.text[:1].islower()) for item in node.items if isinstance(item, Scalar)]
    pieces = []
    for key, value in node.items.values():
        if isinstance(value, Scalar):
            rest = value.plain and not value.text
            pieces.append((key if rest else value, rest))
    return pieces


def _carries_on(pieces: list[tuple[Scalar, bool]], number: int) -> bool:
    """Whether a piece is the rest of the sentence that the piece before it begins."""
    here, rest = pieces[number]
    if number == 0 or not rest:
        return False
    before = pieces[number - 1][0].text
    begun, words = before.split(), here.text.split()
    if len(begun) < 2 or len(words) < 2 or not before[0].isalpha() or before.endswith(_CLOSED):
        return False
    if words[0] in _JOINING:
        return True
    return before[0].isupper() and begun[1][0].islower() and len(begun) > 2 and len(words) > 2


# --- cut by a comment ---

#: What stands behind the hash of a comment, as comments are usually written.
_LOOSE = ("", " ", "\t", "#", "\n", "\r")


def cut_by_hash(value: str, gap: int, behind: str) -> bool:
    """Whether ` #` after an unquoted value cut a text rather than began a comment.

    `gap` is the number of blanks before the hash, `behind` the character behind it.
    A text that ends in a full stop is whole, and what begins with a figure is a quantity. For the rest the
    hash tells: `bolt #3` is cut, with one space before the hash and none behind it; ` # ` is taken for part
    of the text only if the value is a sentence without its full stop, and one space stands before.
    """
    if " " not in value or not value[0].isalpha() or value.endswith((*_CLOSED, ":", ";")):
        return False
    tight = behind not in _LOOSE
    if gap == 1 and tight:
        return True
    return (gap == 1 or tight) and is_sentence(value)


def hash_finding(source: Source, start: int, stop: int, end: int) -> Finding:
    """A text from `start` to `end`, of which YAML reads only what stands before `stop`."""
    return source.finding(
        "text-cut-by-hash",
        start,
        end,
        f"` #` begins a comment: only {quoted(source.text[start:stop])} is read of this text",
        f"put the text in quotes: {quoted(source.text[start:end])}; if a comment is meant, close the text "
        "with a full stop or put two spaces before `# `",
    )


def _texts_cut_by_hash(source: Source, root: Node) -> Iterator[Finding]:
    text = source.working
    hashes = dict(_hashes(text))
    if not hashes:
        return
    for scalar in _scalars(root):
        stop = scalar.end.index
        at = hashes.get(stop) if scalar.plain and scalar.text else None
        if at is not None and cut_by_hash(scalar.text, at - stop, text[at + 1 : at + 2]):
            begin, end = source.bounds(source.line(at))
            yield hash_finding(source, scalar.start.index, stop, begin + len(text[begin:end].rstrip(" \t")))


def _hashes(text: str) -> Iterator[tuple[int, int]]:
    """Every ` #` that may have cut a text short: where that text ends, and where the hash stands."""
    at = text.find("#")
    while at != -1:
        stop = at
        while stop and text[stop - 1] in " \t":
            stop -= 1
        may_cut = at - stop == 1 or (stop < at and text[at + 1 : at + 2] not in _LOOSE)
        if may_cut and stop and text[stop - 1] not in "\r\n" and not text.endswith(_CLOSED, 0, stop):
            yield stop, at
        at = text.find("#", at + 1)


# --- colons ---

#: `torque:45`, `..1966:80 N·m`, `1967..:85 N·m`, but not `12:30`, `https://…`, `mailto:…` or `C:\…`.
MISSING_SPACE = re.compile(
    r"(?!(?:data|geo|mailto|sms|tel|urn):)"
    r"(?P<key>[^\W\d][\w.-]*|\d*\.\.\d*):(?=[^\s/:\\])"
)
_TIGHT = re.compile(r":[^\s/:]")
_TIME = re.compile(r"\d+(?::\d+)+")


def space_finding(source: Source, start: int, colon: int, end: int) -> Finding:
    """An entry from `start` to `end` whose colon has no space behind it."""
    key, value = shortened(source.text[start:colon]), shortened(source.text[colon + 1 : end])
    return source.finding(
        "missing-space-after-colon",
        start,
        end,
        f"`{key}:` has no space after its colon, so that key and value are read as one text",
        f"type `{key}: {value}`, or put it in quotes if it is one text",
    )


def _entries_without_space(source: Source, node: Node, whole: bool) -> Iterator[Finding]:
    """Texts that should have been entries. `whole`: an entry could stand where this node begins."""
    if isinstance(node, Scalar):
        if node.plain and ":" in node.text:
            yield from _in_lines(source, node, whole)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _entries_without_space(source, item, whole=True)
    else:
        flow = source.text[node.start.index] == "{"
        for key, value in node.items.values():
            if flow and key.plain and isinstance(value, Scalar) and value.plain and not value.text:
                colon = key.text.find(":")
                if 0 < colon < len(key.text) - 1 and not _TIME.fullmatch(key.text) and "://" not in key.text:
                    start = key.start.index
                    yield space_finding(source, start, start + colon, key.end.index)
            else:
                yield from _entries_without_space(source, value, whole=value.start.line > key.end.line)


def _in_lines(source: Source, scalar: Scalar, whole: bool) -> Iterator[Finding]:
    for line in range(scalar.start.line + (not whole), scalar.end.line + 1):
        begin, end = source.bounds(line)
        begin, end = max(begin, scalar.start.index), min(end, scalar.end.index)
        begin += len(source.text[begin:end]) - len(source.text[begin:end].lstrip(" \t"))
        found = MISSING_SPACE.match(source.text, begin, end)
        if found:
            yield space_finding(source, begin, found.end("key"), end)
