"""What must hold for any text, any reading and any belief."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from holdback.errors import Fault, ShorthandError
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand import CODES, Reading, read, read_parent, read_wish, write

from .strategies import NAMES, REGIUS, beliefs, readings, texts


@settings(max_examples=250)
@given(texts())
def test_read__every_character_is_accounted_for(text: str) -> None:
    reading = read(text, REGIUS)
    assert "".join(text[span.start : span.end] for span in reading.spans) == text
    assert {span.kind for span in reading.spans} <= {"read", "separator", "unread"}
    for span in reading.spans:
        listed = any(part.start <= span.start and span.end <= part.end for part in reading.unread)
        assert (span.kind == "unread") == listed


@settings(max_examples=250)
@given(texts())
def test_read__no_letter_or_digit_is_ignored_but_known_filler(text: str) -> None:
    for span in read(text, REGIUS).spans:
        words = text[span.start : span.end]
        if span.kind == "separator" and any(letter.isalnum() for letter in words):
            assert _is_filler(words), words


def _is_filler(words: str) -> bool:
    from holdback.heredity.shorthand.tokens import vocabulary
    from holdback.heredity.shorthand.words import squashed

    known = vocabulary(REGIUS)
    key = squashed(words)
    kind, _ = known.get(key) or known.get(key.removesuffix("s")) or ("", None)
    return kind in ("FILLER", "AND", "FROM")


@settings(max_examples=150)
@given(texts())
def test_read__says_only_known_codes_in_reading_order(text: str) -> None:
    warnings = read(text, REGIUS).warnings
    assert {warning.code for warning in warnings} <= set(CODES)
    assert [warning.start for warning in warnings] == sorted(warning.start for warning in warnings)
    assert all(0 <= warning.start <= warning.end <= len(text) for warning in warnings)


@settings(max_examples=150)
@given(texts())
def test_belief__is_a_distribution_at_each_locus(text: str) -> None:
    reading = read(text, REGIUS)
    belief = reading.belief(REGIUS)
    for locus, pairs in belief.loci.items():
        assert sum(pairs.values()) == pytest.approx(1.0, abs=1e-12)
        assert set(pairs) <= set(REGIUS.pairs(locus))
    stated = {gene.locus for gene in reading.genes if gene.copies is not None}
    shown = {gene.locus for gene in reading.genes if gene.shown}
    assert stated <= set(belief.loci) <= stated | shown


@settings(max_examples=150)
@given(readings())
def test_write__then_read_is_identity(reading: Reading) -> None:
    text = write(reading, REGIUS)
    assert read(text, REGIUS) == reading, text


@settings(max_examples=150)
@given(beliefs())
def test_write__then_read_gives_the_same_belief(belief: GenotypeBelief) -> None:
    text = write(belief, REGIUS)
    again = read(text, REGIUS).belief(REGIUS)
    assert again.sex == belief.sex
    assert set(again.loci) == set(belief.loci), text
    for locus, pairs in belief.loci.items():
        assert again.loci[locus] == pytest.approx(pairs, abs=1e-12), text


@settings(max_examples=150)
@given(texts())
def test_write__of_any_text_reads_back_the_same_genes(text: str) -> None:
    reading = read(text, REGIUS)
    again = read(write(reading, REGIUS), REGIUS)
    assert again._content()[5] == reading._content()[5], write(reading, REGIUS)


@settings(max_examples=100)
@given(texts())
def test_read_parent_and_wish__answer_or_refuse(text: str) -> None:
    for ask in (lambda: read_parent(text, REGIUS), lambda: read_wish(text, REGIUS)):
        faults: tuple[Fault, ...] = ()
        try:
            ask()
        except ShorthandError as error:
            faults = error.faults
        assert all(fault.code.startswith("SHO-") and fault.what for fault in faults)


def test_read__every_name_of_the_catalogue_is_read() -> None:
    unread = {name for name in NAMES if read(name, REGIUS).unread}
    assert unread == set()


def test_read__every_gene_is_read_as_itself() -> None:
    wrong = {
        allele.name: [gene.allele for gene in read(allele.name, REGIUS).genes]
        for allele in REGIUS.alleles.values()
        if [gene.allele for gene in read(allele.name, REGIUS).genes] != [allele.key]
    }
    assert wrong == {}
