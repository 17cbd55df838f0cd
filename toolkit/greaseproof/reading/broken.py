"""What is wrong where the YAML parser gives up, in plain words, and how to read on behind it.

The parser stops at its first error. Each error is explained, then mended in the working copy of the text:
exactly, where a character that was meant as text can be hidden, or else by leaving an entry out. Then the
file is read again.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from yaml import YAMLError
from yaml.error import Mark, MarkedYAMLError
from yaml.events import CollectionEndEvent, CollectionStartEvent, ScalarEvent

from ..finding import Finding, Related
from .hygiene import MISSING_SPACE, cut_by_hash, hash_finding, space_finding
from .source import Source, events, marks, quoted, shortened

__all__ = ["LOSES_CONTENT", "control_characters", "explain"]

#: Findings after which an entry may be missing from what was read: what they hide cannot be called missing.
LOSES_CONTENT = frozenset(
    {
        "bracket-not-closed",
        "indented-wrongly",
        "key-not-text",
        "line-without-colon",
        "list-beside-key",
        "merge-key",
        "missing-comma",
        "missing-space-after-colon",
        "missing-space-after-dash",
        "nested-too-deep",
        "not-utf-8",
        "prose-in-brackets",
        "quote-not-closed",
        "reading-stopped",
        "several-documents",
        "stray-bracket",
        "tab-in-indentation",
        "text-after-closing-bracket",
        "text-after-closing-quote",
        "unreadable-yaml",
    }
)

#: Everything that YAML forbids, and the line separators that hide in text pasted from elsewhere.
_CONTROL = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)

_KEY = re.compile(r"[ ]*(?:- +)*(?:\"[^\"]*\"|'[^']*'|[^\s:#\[\]{},&*!|>@`'\"][^:#]*)(?<! ) ?:(?=[ \t]|$)")
_HASH = re.compile(r"(?<![ \t])([ \t]+)#(.*)")
_COLON = re.compile(r":(?=\s|$)")


def control_characters(source: Source) -> list[Finding]:
    """Find what no keyboard types, one finding a character; all of it is blanked in the working copy."""
    places: dict[str, list[int]] = {}
    for found in _CONTROL.finditer(source.text):
        char = found.group()
        places.setdefault("\ud800" if "\ud800" <= char <= "\udfff" else char, []).append(found.start())
    source.working = _CONTROL.sub(" ", source.working)
    return [_control_character(source, char, indices) for char, indices in places.items()]


def _control_character(source: Source, char: str, indices: list[int]) -> Finding:
    lines = sorted({source.line(index) for index in indices[:1000]} - {source.line(indices[0])})
    also = tuple(
        Related(source.span(source.bounds(line)[0], source.bounds(line)[1]), "has the same character")
        for line in lines[:5]
    )
    name = "half of a character" if char == "\ud800" else f"an invisible character (U+{ord(char):04X})"
    times = "" if len(indices) == 1 else f", here and in {len(indices) - 1} more places"
    return source.finding(
        "control-character",
        indices[0],
        indices[0] + 1,
        f"{name} stands in the text{times}",
        "delete it and type the text around it again",
        also,
    )


def explain(error: Exception, source: Source) -> list[Finding]:
    """Say what the parser's error means, and mend the working copy so that reading can go on behind it."""
    if not isinstance(error, MarkedYAMLError) or error.problem_mark is None:
        return control_characters(source)
    return _Fault(error, error.problem_mark, source).findings()


class _Fault:
    """One error of the parser, with what stands around it."""

    def __init__(self, error: MarkedYAMLError, mark: Mark, source: Source) -> None:
        self.source = source
        self.text = source.working
        self.problem = error.problem or ""
        self.context = error.context or ""
        self.at = mark.index
        if self.at >= len(self.text):  # at the end of the file: what is wrong stands on the last line
            self.at = len(self.text.rstrip(" \t\r\n"))
        self.from_ = min(error.context_mark.index, len(self.text)) if error.context_mark else self.at
        self.line = source.line(self.at)

    def findings(self) -> list[Finding]:
        if self._is_empty(self.line):  # nothing but a tab, which harms nobody
            self.source.blank(self.source.bounds(self.line))
            return []
        for looks_like, say in self._table():
            if looks_like:
                return list(say())
        raise AssertionError("the last row of the table fits everything")

    def _table(self) -> Iterator[tuple[bool, Callable[[], Iterator[Finding]]]]:
        """What it may be, the surest first."""
        char, problem, context = self.text[self.at : self.at + 1], self.problem, self.context
        opening = self.text[self.from_ : self.from_ + 1]
        yield self._is_tab_at_fault(), self._tabs
        marked = opening in ("*", "&", "!") and ("scanning a" in context or "handle" in problem)
        yield marked, self._first_character
        yield "block scalar" in context, self._first_character
        yield "directive" in context or (char == "%" and self._first_on_line()), self._directive
        yield char in tuple("@`%,") and "flow" not in context and self._begins_value(), self._first_character
        coded = any(word in problem for word in ("escape", "hex", "Unicode"))
        yield "quoted scalar" in context and coded, self._backslash
        yield "quoted scalar" in context, self._quote_not_closed
        yield "flow" in context and "node content" in problem and char == ",", self._empty_place
        yield "flow" in context or self._open_bracket() is not None, self._bracket
        yield "mapping values" in problem, self._colon
        yield "block sequence entries" in problem and not self._first_on_line(), self._list_beside_key
        yield "simple key" in context, self._no_colon
        yield char in ("]", "}"), self._stray_bracket
        yield "document start" in problem and self._end_mark() is not None, self._goes_on_behind_end
        yield not self._first_on_line() and self.at < len(self.text.rstrip()), self._text_behind
        yield self._after_hash() is not None, self._cut_text
        yield True, self._indentation

    # What stands where

    def _bounds(self, line: int) -> tuple[int, int, int]:
        """A line's beginning, the first character on it that is no blank, and the end of its last word."""
        begin, end = self.source.bounds(line)
        end = begin + len(self.text[begin:end].rstrip(" \t"))
        return begin, end - len(self.text[begin:end].lstrip(" \t")), end

    def _is_empty(self, line: int) -> bool:
        begin, end = self.source.bounds(line)
        return not self.text[begin:end].strip(" \t")

    def _first_on_line(self) -> bool:
        return self.at <= self._bounds(self.line)[1]

    def _begins_value(self) -> bool:
        begin = self._bounds(self.line)[0]
        before = self.text[begin : self.at].rstrip()
        return not before or before.endswith((":", "-", "?"))

    def _before(self) -> int | None:
        """The nearest line above that has something on it."""
        for line in range(self.line - 1, -1, -1):
            if not self._is_empty(line) and self.text[self._bounds(line)[1]] != "#":
                return line
        return None

    def _leave_out(self, line: int, alike: Callable[[str], bool] | None = None) -> None:
        """Blank a line and what is indented below it, and the lines at its own depth that are `alike`."""
        begin, first, _ = self._bounds(line)
        while not alike and self.text.startswith("- ", first):
            first = self._value_start(first + 1)
        last = line
        for below in range(line + 1, self.source.last_line + 1):
            if self._is_empty(below):
                continue
            start, at, end = self._bounds(below)
            depth = (at - start) - (first - begin)
            if depth < 0 or (depth == 0 and not (alike and alike(self.text[at:end]))):
                break
            last = below
        self.source.blank((first, self.source.bounds(last)[1]))

    def _value_end(self, start: int) -> int:
        return self._bounds(self.source.line(start))[2]

    # Tabs and odd first characters

    def _tabs_of(self, line: int) -> tuple[int, int] | None:
        """Where the indentation of a line stands, if it has a tab and something behind it."""
        begin, first, end = self._bounds(line)
        return (begin, first) if first < end and "\t" in self.text[begin:first] else None

    def _is_tab_at_fault(self) -> bool:
        tabs = self._tabs_of(self.line)
        return tabs is not None and self.at <= tabs[1]

    def _tabs(self) -> Iterator[Finding]:
        """A stretch of lines that are indented with tabs; each tab becomes one space."""
        stretch = []
        for line in range(self.line, self.source.last_line + 1):
            tabs = self._tabs_of(line)
            if tabs is None:
                break
            stretch.append(tabs)
            self.source.tabbed.add(line)
        self.source.blank(*stretch)
        first = self.line + 1
        last = first + len(stretch) - 1
        lines = f"line {first} is" if first == last else f"lines {first} to {last} are"
        yield self.source.finding(
            "tab-in-indentation",
            stretch[0][0],
            stretch[-1][1],
            f"{lines} indented with tabs",
            "type spaces instead of tabs, two for each level",
        )

    def _first_character(self) -> Iterator[Finding]:
        start = self.from_ if self.text[self.from_ : self.from_ + 1] in tuple("*&!|>") else self.at
        end = self._value_end(start)
        char, written = self.source.text[start], self.source.text[start:end]
        rule = {"*": "alias", "&": "anchor", "!": "tag"}.get(char, "odd-first-character")
        what = "sentence" if " " in written else "text"
        yield self.source.finding(
            rule,
            start,
            end,
            f"`{char}` at the beginning of a text has a meaning of its own in YAML",
            f"put the {what} in quotes: {quoted(written)}",
        )
        self.source.hide(start)

    def _directive(self) -> Iterator[Finding]:
        begin, first, end = self._bounds(self.line)
        written = self.source.text[first:end]
        yield self.source.finding(
            "odd-first-character",
            first,
            end,
            "`%` at the beginning of a line has a meaning of its own in YAML",
            f"put the text in quotes: {quoted(written)}, or delete the line",
        )
        self.source.blank((begin, end))

    # Quotes

    def _backslash(self) -> Iterator[Finding]:
        start = self.text.rfind("\\", self.from_, self.at + 1)
        while start > self.from_ and self.text[start - 1] == "\\" and self._odd_backslashes(start - 1):
            start -= 1
        if start == -1:
            yield from self._unknown()
            return
        written = self.source.text[start : start + 2].rstrip()
        yield self.source.finding(
            "backslash-in-quotes",
            start,
            start + 2,
            f"`{written}` inside double quotes is a code that YAML does not know",
            r"type `\\` for a backslash, or put the text in single quotes",
        )
        self.source.hide(start)

    def _odd_backslashes(self, index: int) -> bool:
        return (len(self.text[: index + 1]) - len(self.text[: index + 1].rstrip("\\"))) % 2 == 0

    def _quote_not_closed(self) -> Iterator[Finding]:
        end = self._value_end(self.from_)
        quote, written = self.source.text[self.from_], self.source.text[self.from_ + 1 : end]
        yield self.source.finding(
            "quote-not-closed",
            self.from_,
            end,
            f"the text that begins with `{quote}` has no closing `{quote}`",
            f"type `{quote}` at its end: `{quote}{shortened(written)}{quote}`",
        )
        self.source.blank((self.from_, end))

    def _text_behind(self) -> Iterator[Finding]:
        """Something goes on behind a text in quotes, a closed bracket or an alias."""
        begin, first, end = self._bounds(self.line)
        before = self.text[begin : self.at].rstrip()
        written = self.source.text[self.at : end]
        text = self._last_text()
        if text and text.style in ("'", '"'):
            opened, closed = marks(text)
            if opened.line < closed.line == self.line:
                self.from_ = opened.index
                yield from self._quote_not_closed()
                return
        if before.endswith(('"', "'")):
            quote = before[-1]
            inner = "write each `'` inside the text twice, or put the text in double quotes"
            if quote == '"':
                inner = 'put the text in single quotes, or write each `"` inside it as `\\"`'
            yield self.source.finding(
                "text-after-closing-quote",
                self.at,
                end,
                f"{quoted(written)} stands behind the closing `{quote}`",
                inner,
            )
        elif before.endswith(("]", "}")):
            yield self.source.finding(
                "text-after-closing-bracket",
                self.at,
                end,
                f"{quoted(written)} stands behind the closing `{before[-1]}`",
                "put the whole text in quotes, or delete what stands behind the bracket",
            )
        else:
            star = max(self.text.rfind(char, begin, self.at) for char in "*&!")
            if star >= first:
                self.from_ = star
                yield from self._first_character()
                return
            yield from self._unknown()
            return
        self.source.blank((self.at, end))

    # Brackets

    def _open_bracket(self) -> int | None:
        """Where the innermost bracket was opened that is still open at the error."""
        return self._replay()[0]

    def _last_text(self) -> ScalarEvent | None:
        """The last text in front of the error."""
        return self._replay()[1]

    def _replay(self) -> tuple[int | None, ScalarEvent | None]:
        opened: list[int | None] = [None]
        text: ScalarEvent | None = None
        try:
            next_event = events(self.text)
            while (event := next_event()) is not None:
                if isinstance(event, CollectionStartEvent):
                    opened.append(marks(event)[0].index if event.flow_style else None)
                elif isinstance(event, CollectionEndEvent):
                    opened.pop()
                elif isinstance(event, ScalarEvent):
                    text = event
        except YAMLError:
            pass  # this is the error at hand
        return opened[-1], text

    def _bracket(self) -> Iterator[Finding]:
        start = self._open_bracket()
        if start is None:
            yield from self._unknown()
            return
        opening = self.text[start]
        closing = "]" if opening == "[" else "}"
        end = self._value_end(start)
        beside = self.at < end
        written = self.source.text[start:end]
        hash_ = _HASH.search(self.text, start, end)
        char = self.text[self.at : self.at + 1]
        if hash_ and hash_.start() < self.at and hash_[2].rstrip().endswith(closing):
            yield self.source.finding(
                "text-cut-by-hash",
                hash_.end(1),
                end,
                f"` #` begins a comment, and the closing `{closing}` is part of it",
                f"put the text with `#` in quotes, or the comment behind the `{closing}`",
            )
            self.source.hide(hash_.end(1))
        elif beside and char == ":":
            yield from self._colon_in_brackets()
        elif beside and char in ("]", "}") and char != closing:
            yield self.source.finding(
                "bracket-not-closed",
                start,
                self.at + 1,
                f"`{opening}` is closed by `{char}`",
                f"type `{closing}` instead of `{char}`",
            )
            self.source.blank((start, end))
        elif beside and closing in self.text[self.at : end]:
            yield self.source.finding(
                "missing-comma",
                self.at,
                end,
                f"a comma is missing in front of {quoted(self.source.text[self.at : end])}",
                "type a comma between the two, or put the text in quotes if it is one",
            )
            self.source.blank((start, end))
        else:
            yield self.source.finding(
                "bracket-not-closed",
                start,
                end,
                f"`{opening}` has no closing `{closing}`",
                f"type `{closing}` at its end: `{shortened(written)}{closing}`",
            )
            self.source.blank((start, end))

    def _colon_in_brackets(self) -> Iterator[Finding]:
        yield self.source.finding(
            "colon-in-text",
            self.at,
            self.at + 1,
            "a text inside brackets has a colon of its own",
            "type a comma where the next key begins, or put the text in quotes",
        )
        self.source.hide(self.at)

    def _empty_place(self) -> Iterator[Finding]:
        yield self.source.finding(
            "empty-place-in-brackets",
            self.at,
            self.at + 1,
            "nothing stands in front of this comma",
            "delete the comma",
        )
        self.source.blank((self.at, self.at + 1))

    def _stray_bracket(self) -> Iterator[Finding]:
        char = self.text[self.at]
        opening = "[" if char == "]" else "{"
        yield self.source.finding(
            "stray-bracket",
            self.at,
            self.at + 1,
            f"`{char}` closes nothing",
            f"delete it, type the missing `{opening}`, or put the text in quotes",
        )
        self.source.blank((self.at, self.at + 1))

    # What goes on behind the end

    def _end_mark(self) -> int | None:
        """The line above on which `...` ends the document."""
        before = self._before()
        if before is None:
            return None
        begin, _, end = self._bounds(before)
        return before if self.text[begin:end].split("#")[0].strip() == "..." else None

    def _goes_on_behind_end(self) -> Iterator[Finding]:
        line = self._end_mark()
        assert line is not None
        begin, _, end = self._bounds(line)
        yield self.source.finding(
            "several-documents",
            begin,
            end,
            "`...` ends the content for YAML, and more follows",
            "delete the line `...`",
        )
        self.source.blank((begin, end))

    # Colons and indentation

    def _colon(self) -> Iterator[Finding]:
        """A colon where no key can stand: in a sentence, or behind a key that is not where it should be."""
        begin, first, end = self._bounds(self.line)
        key = _KEY.match(self.text, begin, end)
        before = self._before()
        if key and key.end() <= self.at:
            start = self._value_start(key.end())
            yield self._colon_finding(start, self.at, end)
        elif before is not None and (missed := self._spaceless(before)):
            yield missed
            self._leave_out(before)
        elif before is not None and (cut := self._cut_on(before)):
            yield cut
        elif " " in self.text[first : self.at].strip(" -"):
            start = first
            if before is not None:
                above = _KEY.match(self.text, *self._bounds(before)[::2])
                start = self._value_start(above.end()) if above else self._bounds(before)[1]
            yield self._colon_finding(start, self.at, end)
        elif before is not None and not _KEY.match(self.text, *self._bounds(before)[::2]):
            yield self._line_without_colon(before)
            self._leave_out(before)
        else:
            yield from self._indentation()

    def _value_start(self, index: int) -> int:
        while index < len(self.text) and self.text[index] in " \t":
            index += 1
        return index

    def _colon_finding(self, start: int, colon: int, end: int) -> Finding:
        comment = _HASH.search(self.text, colon, end)
        stop = comment.start() if comment else end
        written = self.source.text[start:stop]
        colons = [found.start() for found in _COLON.finditer(self.text, colon, stop)]
        self.source.hide(*(colons or [colon]))
        return self.source.finding(
            "colon-in-text",
            start,
            stop,
            "a colon with a space behind it stands in a text without quotes",
            f"put the sentence in quotes: {quoted(written)}",
        )

    def _spaceless(self, line: int) -> Finding | None:
        """The finding about a line such as `torque:45`, if it is one."""
        _, first, end = self._bounds(line)
        while self.text[first : first + 2] == "- ":
            first = self._value_start(first + 1)
        found = MISSING_SPACE.match(self.text, first, end)
        return space_finding(self.source, first, found.end("key"), end) if found else None

    def _line_without_colon(self, line: int) -> Finding:
        _, first, end = self._bounds(line)
        written = self.source.text[first:end]
        if written.startswith("-") and not written.startswith(("- ", "--")):
            return self.source.finding(
                "missing-space-after-dash",
                first,
                end,
                "this item of a list has no space after its dash",
                f"type `- {shortened(written[1:])}`",
            )
        return self.source.finding(
            "line-without-colon",
            first,
            end,
            f"{quoted(written)} is neither a key with its colon nor an item of a list",
            f"type `{written.split()[0]}: ` and a value, or indent it to go on with the text above",
        )

    def _no_colon(self) -> Iterator[Finding]:
        line = self.source.line(self.from_)
        yield self._spaceless(line) or self._line_without_colon(line)
        self._leave_out(line)

    def _list_beside_key(self) -> Iterator[Finding]:
        end = self._value_end(self.at)
        written = self.source.text[self.at : end]
        yield self.source.finding(
            "list-beside-key",
            self.at,
            end,
            "a list begins on the line of its key",
            f"begin it on the next line: `{shortened(written)}`, or put it in quotes if it is text",
        )
        self.source.hide(self.at)

    def _after_hash(self) -> Finding | None:
        before = self._before()
        return None if before is None else self._cut_on(before, hide=False)

    def _cut_text(self) -> Iterator[Finding]:
        before = self._before()
        if before is not None and (finding := self._cut_on(before)):
            yield finding

    def _cut_on(self, line: int, *, hide: bool = True) -> Finding | None:
        """The finding about a text that ` #` cuts on a line, if it is so; the hash is then hidden."""
        begin, first, end = self._bounds(line)
        key = _KEY.match(self.text, begin, end)
        start = self._value_start(key.end()) if key else first
        found = _HASH.search(self.text, start, end)
        if not found or not cut_by_hash(self.text[start : found.start()], len(found[1]), found[2][:1]):
            return None
        if hide:
            self.source.hide(found.end(1))
        return hash_finding(self.source, start, found.start(), end)

    def _indentation(self) -> Iterator[Finding]:
        """A line that begins at a column where nothing of its kind can begin."""
        _, first, end = self._bounds(self.line)
        item = self.text.startswith("- ", first)
        if item and "key" in self.problem:
            says = "an item of a list stands where a key should stand"
            mend = "type the key of the list on the line above it, with nothing behind its colon"
        elif "'-' indicator" in self.problem:
            says = "a line without a dash stands in the middle of a list"
            mend = "type `- ` in front of it, or indent it below the item that it belongs to"
        else:
            says = "this line does not begin below another entry of its level"
            mend = f"indent it like the entries that it belongs to{self._columns_above()}"
        if self.line not in self.source.tabbed:
            yield self.source.finding("indented-wrongly", first, end, says, mend)
        self._leave_out(self.line, lambda below: below.startswith("- ") == item)

    def _columns_above(self) -> str:
        """How far the entries are indented to which this line could belong, the nearest first."""
        begin, first, _ = self._bounds(self.line)
        own = first - begin
        columns: list[int] = []
        limit = len(self.text)
        for line in range(self.line - 1, -1, -1):
            if self._is_empty(line):
                continue
            start, at, _ = self._bounds(line)
            if self.text[at] == "#" or at - start >= limit:
                continue
            limit = at - start
            if limit != own:
                columns.append(limit)
            if limit == 0:
                break
        nearest = sorted(columns, key=lambda column: abs(column - own))[:2]
        return f": {_either(nearest)} in front" if nearest else ""

    def _unknown(self) -> Iterator[Finding]:
        _, first, end = self._bounds(self.line)
        yield self.source.finding(
            "unreadable-yaml",
            first,
            max(end, first),
            "this line cannot be read as YAML",
            "compare it with its neighbours: `key: value`, `- item`, two spaces for each level, and text "
            "with odd characters in quotes",
        )
        self._leave_out(self.line)


def _either(columns: list[int]) -> str:
    names = {0: "no space", 1: "1 space"}
    return " or ".join(names.get(column, f"{column} spaces") for column in columns)
