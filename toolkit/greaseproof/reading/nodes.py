"""From the text of a YAML file to nodes with places, and everything that is wrong with it as YAML.

Nodes are made straight from the events of the C parser, without a tree of the library's own in between. All
values stay text: `0510210600`, `12:30`, `on` and `1.10` are what was typed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from yaml import YAMLError
from yaml.error import MarkedYAMLError
from yaml.events import (
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from ..finding import Finding, Level, Related, Span
from . import broken, hygiene
from .broken import LOSES_CONTENT
from .source import Source, events, shortened
from .tree import Mapping, Node, Scalar, Sequence, span

__all__ = ["LOSES_CONTENT", "MAX_BYTES", "MAX_DEPTH", "Mapping", "Node", "Scalar", "Sequence", "read", "span"]

#: The largest file that is read: 4 MB. A procedure has some kilobytes.
MAX_BYTES = 4_000_000

#: How deep lists and mappings may stand in each other.
MAX_DEPTH = 100

#: How often a broken file is read again behind a fault, and how many characters are read in all these times.
_MAX_FAULTS = 100
_MAX_READ = 5 * MAX_BYTES


def read(text: str | bytes, file: str) -> tuple[Node | None, list[Finding]]:
    """Read one file; `file` is its name in the findings.

    Gives the nodes and every fault, in the order of the file; no fault raises. Where there are errors, the
    nodes are what could be made out: after one of `LOSES_CONTENT`, entries may be missing. None: nothing
    could be read. A byte order mark at the beginning is left out, and columns do not count it.
    """
    if _too_large(text):
        return None, [
            _about_file(
                file,
                "file-too-large",
                "the file has more than 4 MB and is not read",
                "split it into several files",
            )
        ]
    findings: list[Finding] = []
    if isinstance(text, bytes):
        text = _decoded(text, file, findings)
    source = Source(text.removeprefix("\ufeff"), file)
    text = source.text
    # The parser lets these pass.
    if "\x85" in text or "\u2028" in text or "\u2029" in text or "\ufeff" in text:
        findings += broken.control_characters(source)
    try:
        root, more = _document(source)
    except (YAMLError, UnicodeEncodeError, _TooDeep) as error:
        root, more = _read_on(error, source)
    if more or findings:
        findings += more
        findings = sorted(dict.fromkeys(findings), key=lambda finding: finding.span)
    elif root is None:
        findings.append(
            _about_file(file, "empty-file", "the file is empty", "write its content, or delete the file")
        )
    return root, findings


def _too_large(text: str | bytes) -> bool:
    if isinstance(text, str) and MAX_BYTES // 4 < len(text) <= MAX_BYTES:
        return len(text.encode("utf-8", "surrogatepass")) > MAX_BYTES
    return len(text) > MAX_BYTES


def _about_file(file: str, rule: str, message: str, mend: str) -> Finding:
    return Finding(rule, Level.ERROR, Span(file, 1, 1, 1, 1), message, mend=mend)


def _decoded(data: bytes, file: str, findings: list[Finding]) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            text, where = data.decode("utf-16", "replace"), Span(file, 1, 1, 1, 1)
            what = "the file is saved as UTF-16, not as UTF-8"
        else:
            text = data.decode("utf-8", "replace")
            before = data[: error.start].decode("utf-8").removeprefix("\ufeff")
            start = len(before)
            where = Source(before + "?", file).span(start, start + 1)
            what = f"the file is not saved as UTF-8: line {where.line} has a byte that is no character"
        findings.append(
            Finding(
                "not-utf-8",
                Level.ERROR,
                where,
                what,
                mend="save the file in your editor with the encoding UTF-8",
            )
        )
        return text


def _read_on(error: Exception, source: Source) -> tuple[Node | None, list[Finding]]:
    """Explain an error of the parser, and read on behind it to find the next."""
    explained: list[Finding] = []
    tried = {source.working}
    allowed = min(_MAX_FAULTS, 1 + _MAX_READ // (len(source.text) + 1))
    while True:
        if isinstance(error, MarkedYAMLError) and "nesting depth" in (error.problem or ""):
            error = _TooDeep(error.problem_mark)  # the parser looks ahead, to its own bound
        if isinstance(error, _TooDeep):
            return None, [*explained, _too_deep(error, source)]
        explained += broken.explain(error, source)
        if source.working in tried or len(tried) > allowed:
            return None, [*explained, _stopped(source, explained)]
        tried.add(source.working)
        try:
            root, findings = _document(source)
        except (YAMLError, _TooDeep) as next_error:
            error = next_error
        else:
            return root, explained + findings


def _too_deep(error: _TooDeep, source: Source) -> Finding:
    at = error.mark.index
    return source.finding(
        "nested-too-deep",
        at,
        at + 1,
        f"entries stand in each other more than {MAX_DEPTH} levels deep",
        "give the inner ones a place of their own",
    )


def _stopped(source: Source, told: list[Finding]) -> Finding:
    last = max((finding.span for finding in told), default=Span(source.file, 1, 1, 1, 1))
    return Finding(
        "reading-stopped",
        Level.ERROR,
        last,
        "reading stops here: there may be more faults below",
        mend="mend the faults above it and check again",
    )


# --- nodes from events ---


class _TooDeep(Exception):  # noqa: N818 - it is caught above and never seen outside
    """Lists and mappings stand in each other more than MAX_DEPTH levels deep."""

    def __init__(self, mark: Any) -> None:
        self.mark = mark


def _document(source: Source) -> tuple[Node | None, list[Finding]]:
    """The first document of the text, with what is remarkable about it; None if it is empty."""
    findings: list[Finding] = []
    next_event = events(source.working)
    if hygiene.needs_care(source):
        next_event = hygiene.with_care(next_event, source, findings)
    next_event()
    if isinstance(next_event(), StreamEndEvent):
        return None, findings
    reading = _Reading(source, findings)
    root = _node(next_event(), 0, next_event, reading)
    next_event()
    following = next_event()
    if isinstance(following, _DOCUMENT_START):
        start = following.start_mark.index
        findings.append(
            source.finding(
                "several-documents",
                start,
                start + 3,
                "a second document begins here, and is not read",
                "delete the line `---`, or put what follows in a file of its own",
            )
        )
        while not isinstance(next_event(), StreamEndEvent):
            pass
    if isinstance(root, Scalar) and root.plain and not root.text:
        return None, findings
    hygiene.remark(source, root, reading.in_brackets, reading.one_key, findings)
    return root, findings


_Event = Any
_Next = Callable[[], _Event]

#: Untyped, so that a test for one of them leaves the event untyped.
_SCALAR: Any = ScalarEvent
_MAPPING_END: Any = MappingEndEvent
_SEQUENCE_END: Any = SequenceEndEvent
_DOCUMENT_START: Any = DocumentStartEvent


class _Reading:
    """What is gathered while nodes are made: faults, and nodes in which prose may hide."""

    __slots__ = ("findings", "in_brackets", "one_key", "source")

    def __init__(self, source: Source, findings: list[Finding]) -> None:
        self.source = source
        self.findings = findings
        self.in_brackets: list[Sequence | Mapping] = []
        self.one_key: list[Mapping] = []


# Half a million texts stand in a thousand files: they are filled in place, and functions are called for
# collections only.


def _mapping(start: _Event, depth: int, next_event: _Next, reading: _Reading) -> Mapping:
    if depth == MAX_DEPTH:
        raise _TooDeep(start.start_mark)
    items: dict[str, tuple[Scalar, Node]] = {}
    text = ""
    value: Node | None = None
    while True:
        event = next_event()
        if type(event) is not _SCALAR:
            if type(event) is _MAPPING_END:
                break
            odd = _node(event, depth + 1, next_event, reading)
            reading.findings.append(_key_not_text(odd, reading.source))
            _node(next_event(), depth + 1, next_event, reading)
            continue
        key = Scalar()
        key.text = text = event.value
        key.start = event.start_mark
        key.end = event.end_mark
        key.plain = not event.style
        event = next_event()
        if type(event) is _SCALAR:
            value = Scalar()
            value.text = event.value
            value.start = event.start_mark
            value.end = event.end_mark
            value.plain = not event.style
        elif type(event) is MappingStartEvent:
            value = _mapping(event, depth + 1, next_event, reading)
        else:
            value = _node(event, depth + 1, next_event, reading)
        if text in items:
            reading.findings.append(_duplicate(items[text][0], key, reading.source))
        else:
            items[text] = (key, value)
    if start.flow_style:
        made = Mapping(items, start.start_mark, event.end_mark)
        reading.in_brackets.append(made)
    else:
        made = Mapping(items, start.start_mark, start.start_mark if value is None else value.end)
        if len(items) == 1 and " " in text:
            reading.one_key.append(made)
    return made


def _sequence(start: _Event, depth: int, next_event: _Next, reading: _Reading) -> Sequence:
    if depth == MAX_DEPTH:
        raise _TooDeep(start.start_mark)
    items: list[Node] = []
    while True:
        event = next_event()
        if type(event) is _SCALAR:
            item = Scalar()
            item.text = event.value
            item.start = event.start_mark
            item.end = event.end_mark
            item.plain = not event.style
            items.append(item)
        elif type(event) is MappingStartEvent:
            items.append(_mapping(event, depth + 1, next_event, reading))
        elif type(event) is _SEQUENCE_END:
            break
        else:
            items.append(_node(event, depth + 1, next_event, reading))
    if start.flow_style:
        made = Sequence(items, start.start_mark, event.end_mark)
        reading.in_brackets.append(made)
        return made
    return Sequence(items, start.start_mark, items[-1].end if items else event.start_mark)


def _node(event: _Event, depth: int, next_event: _Next, reading: _Reading) -> Node:
    if isinstance(event, MappingStartEvent):
        return _mapping(event, depth, next_event, reading)
    if isinstance(event, SequenceStartEvent):
        return _sequence(event, depth, next_event, reading)
    assert isinstance(event, _SCALAR)
    scalar = Scalar()
    scalar.text = event.value
    scalar.start = event.start_mark
    scalar.end = event.end_mark
    scalar.plain = not event.style
    return scalar


def _key_not_text(key: Node, source: Source) -> Finding:
    return Finding(
        "key-not-text",
        Level.ERROR,
        span(key, source.file),
        "brackets stand where a key should stand",
        mend="type a word as key, or put the text with its brackets in quotes",
    )


def _duplicate(first: Scalar, again: Scalar, source: Source) -> Finding:
    key = shortened(again.text)
    return Finding(
        "duplicate-key",
        Level.ERROR,
        span(again, source.file),
        f"`{key}` is given twice in the same place",
        because=(Related(span(first, source.file), "gives it first"),),
        mend=f"keep one `{key}:` and delete or rename the other",
    )
