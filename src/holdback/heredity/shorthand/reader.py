"""Trade shorthand read into a `Reading`.

The parser gives elements in reading order; `_Reader` walks them with one state, the open "het". Gene claims become
mentions, which `settle.settled` sets against each other; the rest becomes facts.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache
from typing import TYPE_CHECKING

from holdback.heredity.shorthand.facts import Facts
from holdback.heredity.shorthand.grammar_fast import parsed
from holdback.heredity.shorthand.mentions import Mention, Said, Scope
from holdback.heredity.shorthand.modifiers import Modifiers
from holdback.heredity.shorthand.names import NameReader
from holdback.heredity.shorthand.reading import Reading, ReadLine, ReadWarning, Span, Unread
from holdback.heredity.shorthand.scanner import scanned
from holdback.heredity.shorthand.settle import Setting, settled
from holdback.heredity.shorthand.tokens import Token, is_recessive
from holdback.heredity.shorthand.words import chance_of, squashed
from holdback.species.model import NotAGene

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


def read(text: str, catalogue: Catalogue, *, lines: Collection[str] = ()) -> Reading:
    """Everything that a line of trade shorthand says, and all that could not be read.

    Parameters
    ----------
    text : str
        An ad, a tub label or the genes cell of a record sheet.
    catalogue : Catalogue
        Species whose names are read.
    lines : collection of str, optional
        Line names known to the keeper; others are found by "line", "stock" or a percentage beside them.

    Returns
    -------
    Reading
        Never fails: what contradicts itself is a warning of level "fault", what is not known is unread.

    Notes
    -----
    One pass over the text; cost grows with its length times the longest name in words.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> reading = read("0.1 Pastel Clown 66% het Pied", load())
    >>> str(reading.sex), [(gene.name, gene.source) for gene in reading.genes]
    ('female', [('Pastel', 'named'), ('Clown', 'named'), ('Piebald', '66% het')])
    """
    tokens = scanned(text, catalogue, lines)
    reader = _Reader(text, catalogue)
    for rule, parts in parsed([token for token in tokens if token.kind != "GAP"]):
        getattr(reader, f"on_{rule}")(parts)
    return reader.reading(tokens)


class _Reader:
    """State of one reading."""

    def __init__(self, text: str, catalogue: Catalogue) -> None:
        self.text = text
        self.catalogue = catalogue
        self.warnings: list[ReadWarning] = []
        self.mentions: list[Mention] = []
        self.scope: Scope | None = None
        self.lines: list[ReadLine] = []
        self.unread: list[Unread] = []
        self.facts = Facts(self.warn)
        self.names = NameReader(catalogue, self.warn, self.facts.status)
        self.either: Token | None = None
        self.slash = False
        self.crossed: list[Token] = []

    def warn(self, code: str, message: str, start: int, end: int) -> None:
        self.warnings.append(ReadWarning(code, message, start, end))

    def on_head(self, parts: list[Token]) -> None:
        """A "het" with its chance opens a scope."""
        self._close_scope()
        modifiers = Modifiers.of(parts)
        het = next(part for part in parts if part.kind == "HET")
        count, possible = het.carried if isinstance(het.carried, tuple) else (1, False)
        possible = possible or modifiers.possible
        start, end = parts[0].start, parts[-1].end
        if modifiers.absent:
            self.scope = Scope(0.0, "no het", 1, start, end, own_percent=True)
            return
        percent = self._percent(modifiers.percent)
        self._unread([part for part in modifiers.others if part.kind in ("VISUAL", "SUPER", "TWICE")])
        self._mind_spare(modifiers.spare)
        if percent is not None:
            chance, source = chance_of(percent), f"{percent}% het"
        elif possible or modifiers.percent:
            chance, source = None, "possible het"
        else:
            chance, source = 1.0, "het"
        if modifiers.proven:
            self.warn("proven-het", "Proven het is read as certain.", start, end)
        self.scope = Scope(chance, source, max(count, 1), start, end, own_percent=percent is not None or possible)

    def on_gene(self, parts: list[Token]) -> None:
        """A name, alone or in an open "het"."""
        modifiers = Modifiers.of(parts)
        name = next(part for part in parts if part.kind == "NAME")
        afters = [part for part in parts if part.kind == "PCTAFTER"]
        if isinstance(name.carried, NotAGene):
            self._unread(modifiers.others)
            self._mind_spare([part for part in parts if part.kind in ("PCT", "PCTAFTER")])
        else:
            self._mind_spare([*modifiers.spare, *afters[1:]])
        if modifiers.proven:
            self.facts.status.append("proven")
        modifiers.percent = self._percent(modifiers.percent)
        after = self._percent(afters[0] if afters else None)
        if modifiers.visual or modifiers.absent:
            self._close_scope()
        if self.scope and modifiers.percent is not None:
            start, end = self.scope.start, self.scope.end
            chance, source = chance_of(modifiers.percent), f"{modifiers.percent}% het"
            self._close_scope()
            self.scope = Scope(chance, source, 1, start, end, own_percent=True)
            modifiers.percent = None
        found = self.names.mentions(name, modifiers, self.scope, after)
        for mention in found:
            mention.joined = self.slash
            mention.start, mention.end = parts[0].start, parts[-1].end
            mention.text = self.text[mention.start : mention.end]
        self.slash = False
        self._claim_either(found)
        if self.scope:
            self.scope.used = self.scope.used or bool(found)
            self.scope.members.extend(mention for mention in found if mention.said in (Said.HET, Said.OPEN_HET))
        self.mentions.extend(found)

    def on_line(self, parts: list[Token]) -> None:
        """Words before "line" or "stock"."""
        words = [part for part in parts if part.kind == "WORD"]
        split = next(
            (at for at in range(len(words), 0, -1) if not _is_line_word(words[at - 1])),
            0,
        )
        if split == len(words):
            split = len(words) - 1
        self._unread(words[:split])
        modifiers = Modifiers.of(parts)
        after = next((part for part in parts if part.kind == "PCTAFTER"), None)
        percent = self._percent(modifiers.percent if modifiers.percent else after)
        if modifiers.others:
            self._unread(modifiers.others)
        self._add_line(words[split:], percent)

    def on_words(self, parts: list[Token]) -> None:
        """Words that are not known; a percentage beside a capitalised one is a share of a line."""
        words = [part for part in parts if part.kind == "WORD"]
        modifiers = Modifiers.of(parts)
        after = next((part for part in parts if part.kind == "PCTAFTER"), None)
        percent = self._percent(modifiers.percent or after)
        if all(word.carried for word in words):
            self._unread(modifiers.others)
            self._add_line(words, percent)
            return
        run = words if modifiers.percent else words[-1:]
        if percent and all(map(_is_line_word, run)) and not self._suggestion(run):
            self._unread([*modifiers.others, *words[: len(words) - len(run)]])
            self._add_line(run, percent)
            name = self.lines[-1].name
            message = f"Read as {percent}% of a line called {name}."
            self.warn("line-share-assumed", message, parts[0].start, parts[-1].end)
            return
        if self.scope:
            self.scope.used = True
        self._unread(parts)

    def on_stray(self, parts: list[Token]) -> None:
        """Modifiers without anything to belong to."""
        part = parts[0]
        if len(parts) == 1 and part.kind == "PROVEN":
            self.facts.status.append("proven")
        elif part.kind == "LINE" and self.mentions:
            self.facts.status.append(part.text.lower())
        else:
            start, end = part.start, parts[-1].end
            text = self.text[start:end]
            self.unread.append(Unread(text, start, end, ""))
            is_percent = all(each.kind.startswith("PCT") for each in parts)
            code = "percent-unused" if is_percent else "unread"
            self.warn(code, f"{text!r} belongs to nothing that was read.", start, end)

    def on_fact(self, parts: list[Token]) -> None:
        """Anything else that is no gene."""
        token = parts[0]
        if token.kind == "END":
            self._close_scope()
        elif token.kind == "SEP":
            self.slash = token.text == "/"
        elif token.kind == "TIMES":
            self.crossed.append(token)
        elif token.kind == "PCTEITHER":
            self._open_either(token)
        else:
            self.facts.take(token)

    def _open_either(self, token: Token) -> None:
        """A percentage between two genes of a "het" list."""
        self.either = token
        message = f"{token.text} may belong to the gene before it or after it. Put a comma."
        self.warn("percent-either-way", message, token.start, token.end)
        if self.scope:
            for mention in self.mentions:
                if mention.start == self.mentions[-1].start:
                    _make_open(mention)

    def _claim_either(self, found: list[Mention]) -> None:
        if self.either:
            for mention in found:
                if mention.said in (Said.HET, Said.VISUAL):
                    _make_open(mention)
            self.either = None

    def _percent(self, given: Token | str | None) -> str | None:
        """Digits of a percentage in (0, 100]; others are reported."""
        if given is None or isinstance(given, str):
            return given
        digits = str(given.carried)
        if 0 < chance_of(digits) <= 1:
            return digits.replace(",", ".")
        self.warn("percent-range", f"{given.text} is no chance; it is not used.", given.start, given.end)
        return None

    def _mind_spare(self, percents: list[Token]) -> None:
        for part in percents:
            self.warn("percent-unused", f"{part.text} belongs to nothing that was read.", part.start, part.end)

    def _close_scope(self) -> None:
        scope, self.scope = self.scope, None
        if scope is None:
            return
        n_loci = len({mention.locus for mention in scope.members})
        if scope.count > 1 and scope.members and n_loci != scope.count:
            message = f"{scope.count} genes are announced, {n_loci} follow."
            self.warn("het-count", message, scope.start, scope.end)
        if not scope.used and scope.source != "no het":
            self.unread.append(Unread(self.text[scope.start : scope.end], scope.start, scope.end, ""))
            self.warn("unread", "A het without a gene that was read.", scope.start, scope.end)

    def _add_line(self, words: list[Token], percent: str | None) -> None:
        name = " ".join(str(word.carried or word.text) for word in words)
        share = None if percent is None else chance_of(percent)
        self.lines.append(ReadLine(name, share, self.text[words[0].start : words[-1].end]))

    def _suggestion(self, run: list[Token]) -> str:
        """Nearest known name; none for words that are known and only stand in the wrong place."""
        if not run or any(token.kind != "WORD" for token in run):
            return ""
        return _suggestion(self.catalogue, self.text[run[0].start : run[-1].end])

    def _unread(self, tokens: list[Token]) -> None:
        for run in _runs(tokens, self.text):
            whole = self._suggestion(run)
            for group in [run] if whole or len(run) == 1 else [[token] for token in run]:
                start, end = group[0].start, group[-1].end
                suggestion = self._suggestion(group)
                self.unread.append(Unread(self.text[start:end], start, end, suggestion))
                hint = f" Nearest known name: {suggestion}." if suggestion else ""
                self.warn("unread", f"{self.text[start:end]!r} was not read.{hint}", start, end)

    def reading(self, tokens: list[Token]) -> Reading:
        """Reading of the whole text, its spans filled in."""
        self._close_scope()
        self._mind_crosses()
        genes = settled(self.mentions, self.facts.makers, Setting(self.catalogue, self.facts, self.warn))
        self.facts.close()
        unread = sorted(self.unread, key=lambda part: part.start)
        return Reading(
            text=self.text,
            sex=self.facts.sex,
            counts=self.facts.counts,
            origin=self.facts.origin,
            hatched=self.facts.hatched,
            genes=genes,
            lines=tuple(self.lines),
            mass=self.facts.mass,
            status=tuple(dict.fromkeys(self.facts.status)),
            unread=tuple(unread),
            warnings=tuple(sorted(self.warnings, key=lambda warning: warning.start)),
            spans=_spans(tokens, unread),
        )

    def _mind_crosses(self) -> None:
        for cross in self.crossed:
            before = any(mention.end <= cross.start for mention in self.mentions)
            after = any(mention.start >= cross.end for mention in self.mentions)
            if before and after:
                message = "An x between genes reads as a pairing of two animals. Give one animal."
                self.warn("reads-as-pairing", message, cross.start, cross.end)
            else:
                self._unread([cross])


@lru_cache(maxsize=4096)
def _suggestion(catalogue: Catalogue, text: str) -> str:
    """Nearest known name; none for words so short that everything is near."""
    return catalogue.suggest(text) if len(squashed(text)) > 3 else ""


def _make_open(mention: Mention) -> None:
    hidden = mention.allele is not None and is_recessive(mention.allele)
    mention.said, mention.source = (Said.OPEN_HET if hidden else Said.OPEN), "possible het"


def _is_line_word(word: Token) -> bool:
    return bool(word.carried) or word.text[:1].isupper()


def _runs(tokens: list[Token], text: str) -> list[list[Token]]:
    """Tokens in runs with nothing but spaces between them."""
    runs: list[list[Token]] = []
    for token in tokens:
        if runs and not text[runs[-1][-1].end : token.start].strip():
            runs[-1].append(token)
        else:
            runs.append([token])
    return runs


def _spans(tokens: list[Token], unread: list[Unread]) -> tuple[Span, ...]:
    """What became of each piece of the text."""
    spans = []
    for token in tokens:
        is_unread = any(part.start <= token.start and token.end <= part.end for part in unread)
        kind = "unread" if is_unread else "separator" if token.kind in ("GAP", "SEP", "END") else "read"
        spans.append(Span(token.start, token.end, kind))
    return tuple(spans)
