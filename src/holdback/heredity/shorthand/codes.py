"""Every remark the reader can make, with its stable code and level.

A *note* says how the text was taken. An *ask* is a question only the keeper can answer: until then the statement is
held as not stated, or read literally, as the text of the code says. A *fault* says that the text contradicts itself.
"""

from __future__ import annotations

from typing import NamedTuple

NOTE, ASK, FAULT = "note", "ask", "fault"


class CodeText(NamedTuple):
    """Level of a code and what it means, for the reference."""

    level: str
    meaning: str


CODES: dict[str, CodeText] = {
    "unread": CodeText(ASK, "A word was not read. The nearest known name is offered."),
    "probability-not-stated": CodeText(
        ASK, "Possible het without a number. Nothing is assumed; odds leave the gene out until a number is given."
    ),
    "assumed-half": CodeText(
        ASK, "A doubtful identification without a number. Taken as one chance in two, marked as assumed."
    ),
    "possible-super": CodeText(
        ASK,
        "One or two copies, not told apart. From a pairing X x X written beside it: one chance in three of two copies. "
        "Without it: not stated, and odds use one copy, the least that is shown, marked as assumed.",
    ),
    "complex-allele-unknown": CodeText(
        ASK, "Some gene of a complex, which one is not said. Odds leave the complex out until it is named."
    ),
    "three-alleles": CodeText(
        FAULT,
        "More than two copies at one place in the genome. All genes of that place are held back; name at most two.",
    ),
    "equivalent-names": CodeText(
        ASK,
        "Two names held to be one gene. Read as one copy under each name, so as two copies; correct it if the second "
        "name only repeats the first.",
    ),
    "combo-repeats-gene": CodeText(
        ASK,
        "A combo name and one of its own ingredients, or two combos that share one. Either two copies or said twice: "
        "not stated, and odds use one copy, marked as assumed.",
    ),
    "combo-optional": CodeText(
        ASK, "An ingredient that sellers often leave out of this combo. Taken as one chance in two, marked as assumed."
    ),
    "combo-open": CodeText(ASK, "A name that leaves open which genes make it. No gene is read from it."),
    "super-of-combo": CodeText(
        ASK,
        "Super before a combo name: which ingredient has two copies is not clear. Each ingredient is read as named.",
    ),
    "super-of-recessive": CodeText(
        NOTE, "Super before a recessive: it shows with two copies anyway; read as those two."
    ),
    "named-again": CodeText(NOTE, "The same statement stands twice; it is counted once."),
    "het-and-visual": CodeText(
        ASK, "The same gene as visual and as het. The visual stands, as it must have two copies; correct what is wrong."
    ),
    "het-twice": CodeText(ASK, "The same gene as het with two different chances. Not stated until one is taken out."),
    "het-pair-shows": CodeText(
        ASK, "Het for two genes of one complex for certain: such an animal would show. Read as one copy of each."
    ),
    "het-of-visible": CodeText(
        ASK,
        "Het of a gene that shows with one copy: a visible one-copy animal, or a slip. Read literally as that chance "
        "of one copy.",
    ),
    "het-names-visible": CodeText(
        NOTE, "A name with het in it that means a visible one-copy animal of a gene with a named two-copy form."
    ),
    "het-of-combo": CodeText(
        ASK, "Het of a combo with visible ingredients. Its recessives are read as het; the others are not stated."
    ),
    "visible-after-het": CodeText(
        NOTE, "A gene that shows with one copy stands in a list of hets. Read as one visible copy."
    ),
    "het-count": CodeText(ASK, "Double, triple or quadruple het, but another number of genes follows."),
    "percent-without-het": CodeText(ASK, "A percentage before a recessive without het. Read as that chance of het."),
    "percent-either-way": CodeText(
        ASK, "A percentage between two genes may belong to either. Both are not stated until commas make it clear."
    ),
    "percent-scope": CodeText(
        ASK,
        "A percentage after a list of hets: for the last it is sure, for those before it not. Those are not stated.",
    ),
    "percent-range": CodeText(FAULT, "A percentage above 100, or of 0. It is not used."),
    "percent-unused": CodeText(ASK, "A percentage that belongs to nothing that was read."),
    "either-species": CodeText(
        ASK, "Letters that may name a gene or the species. The gene is not stated until it is written out."
    ),
    "line-not-named": CodeText(
        ASK, "A gene that comes in lines which do not match each other, without its line. Lines are never merged."
    ),
    "line-share-assumed": CodeText(
        NOTE, "A percentage before an unknown capitalised word, taken as a share of a line."
    ),
    "line-of-a-gene": CodeText(NOTE, "Line after a gene's own name. The gene is read; the line is a claim of descent."),
    "not-a-gene": CodeText(NOTE, "A trade word that names no single gene. It is kept and changes no odds."),
    "says-another-animal": CodeText(
        NOTE, "Words about a parent or a sibling. Kept, and not read as this animal's genes."
    ),
    "reads-as-pairing": CodeText(FAULT, "An x between genes reads as a pairing of two animals. Give one animal."),
    "one-copy-assumed": CodeText(
        NOTE, "One and two copies of this gene look alike. Read as one copy, as is the custom, until bred."
    ),
    "maker-without-gene": CodeText(ASK, "Male maker or female maker without a sex-linked gene to go with."),
    "maker-sex": CodeText(
        ASK, "Male maker or female maker of an animal whose sex cannot be one, or of one with two copies."
    ),
    "sex-twice": CodeText(FAULT, "Two sexes for one animal. Neither is used."),
    "several-animals": CodeText(NOTE, "Counts of more than one animal. The genes are read as those of each of them."),
    "origin-loose": CodeText(NOTE, "An origin code that the trade uses loosely. Parents count as unknown."),
    "origin-twice": CodeText(ASK, "Two different origins. Neither is used."),
    "date-either-way": CodeText(ASK, "Day and month can be read both ways. Only the year is used."),
    "hatched-twice": CodeText(ASK, "Two different hatch dates. Neither is used."),
    "mass-twice": CodeText(ASK, "Two different weights. Neither is used."),
    "proven-het": CodeText(NOTE, "Proven het: gave visual young or was tested. Read as certain."),
    "absent-and-named": CodeText(FAULT, "The same gene as absent and as present. It is held back."),
}
"""Code to level and meaning."""
