"""A name in its setting turned into claims on alleles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.heredity.shorthand.combos import ingredients, is_literal, opening_ingredient
from holdback.heredity.shorthand.facts import Warn
from holdback.heredity.shorthand.mentions import Mention, Said, Scope
from holdback.heredity.shorthand.modifiers import Modifiers
from holdback.heredity.shorthand.tokens import EitherSpecies, Named, OpenName, Token, is_recessive
from holdback.heredity.shorthand.words import chance_of, squashed
from holdback.species.model import Allele, Combo, Inheritance, Locus, NotAGene

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


class NameReader:
    """Turns names into mentions.

    Parameters
    ----------
    catalogue : Catalogue
        Species.
    warn : callable
        Takes code, message, start and end of a remark.
    status : list of str
        Trade words that are no genes are added here.
    """

    def __init__(self, catalogue: Catalogue, warn: Warn, status: list[str]) -> None:
        self._catalogue = catalogue
        self._report = warn
        self._token = Token("", "", 0, 0)
        self._status = status

    def mentions(self, token: Token, modifiers: Modifiers, scope: Scope | None, after: str | None) -> list[Mention]:
        """Claims that a name makes.

        Parameters
        ----------
        token : Token
            The name; it carries what it stands for.
        modifiers : Modifiers
            Words before and after it.
        scope : Scope or None
            Open "het".
        after : str or None
            Digits of a percentage after it.
        """
        self._token = token
        named: Named = token.carried  # type: ignore[assignment]  # the scanner puts nothing else into a NAME
        if isinstance(named, NotAGene):
            self._status.append(named.name)
            self._warn("not-a-gene", named.text or f"{named.name} names no single gene.")
            return []
        if isinstance(named, EitherSpecies):
            if not (modifiers.super_word or modifiers.twice or modifiers.visual):
                self._warn(
                    "either-species",
                    f"{token.text} may be {named.allele.name} or {self._catalogue.common_name}. Write it out.",
                )
                return [self._mention(named.allele, Said.OPEN, token.text)]
            named = named.allele
        if modifiers.is_line:
            self._warn("line-of-a-gene", f"{token.text} is read as the gene; its line is a claim of descent.")
        if isinstance(named, OpenName):
            return self._open_name(named, modifiers, scope)
        if modifiers.is_complex or isinstance(named, Locus):
            return self._complex(named)
        if isinstance(named, Combo):
            return self._combo(named, modifiers, scope, after)
        if modifiers.is_unstated:
            self._warn("probability-not-stated", f"{named.name}: with what chance, and why?")
            return [self._mention(named, Said.OPEN, "not stated")]
        if is_recessive(named):
            return [self._recessive(named, modifiers, scope, after)]
        return [self._visible(named, modifiers, scope, after)]

    def _warn(self, code: str, message: str) -> None:
        self._report(code, message, self._token.start, self._token.end)

    def _mention(self, allele: Allele, said: Said, source: str, chance: float = 1.0) -> Mention:
        token = self._token
        return Mention(allele, allele.locus, said, source, token.start, token.end, token.text, chance)

    def _complex(self, named: Allele | Combo | Locus) -> list[Mention]:
        loci: list[str] = []
        if isinstance(named, Locus):
            loci = [named.key]
        elif isinstance(named, Combo):
            loci = list(named.genotypes)
        else:
            loci = [named.locus]
        token = self._token
        if len(loci) != 1:
            self._warn("combo-open", f"{token.text} is no single complex; nothing is read from it.")
            return []
        locus = self._catalogue.loci[loci[0]]
        if len(locus.alleles) == 1:
            self._warn("complex-allele-unknown", f"{token.text}: no complex of that name is known here.")
            return [self._mention(self._catalogue.alleles[locus.alleles[0]], Said.OPEN, "complex")]
        names = ", ".join(self._catalogue.alleles[key].name for key in locus.alleles)
        self._warn("complex-allele-unknown", f"Some gene of the {locus.name}, which one is not said: {names}.")
        return [Mention(None, locus.key, Said.OPEN, "complex", token.start, token.end, token.text, label=locus.name)]

    def _open_name(self, named: OpenName, modifiers: Modifiers, scope: Scope | None) -> list[Mention]:
        if named.locus and (modifiers.is_complex or scope):
            return self._complex(named.locus)
        token, combo = self._token, named.combo
        self._warn("combo-open", f"{combo.name} leaves open which genes make it. Name them.")
        locus = named.locus.key if named.locus else ""
        source = f"combo {combo.name}"
        return [Mention(None, locus, Said.OPEN, source, token.start, token.end, token.text, label=combo.name)]

    def _recessive(self, allele: Allele, modifiers: Modifiers, scope: Scope | None, after: str | None) -> Mention:
        if modifiers.absent:
            return self._mention(allele, Said.ABSENT, "no")
        self._mind_line(allele)
        shows = bool(modifiers.super_word or modifiers.twice or modifiers.visual)
        if shows and (modifiers.is_doubtful or modifiers.percent or after):
            self._warn("probability-not-stated", f"{allele.name}: visual, het, or neither?")
            return self._mention(allele, Said.OPEN, "possible")
        if shows:
            if modifiers.super_word == "super":
                self._warn("super-of-recessive", f"{allele.name} is recessive: two copies are read.")
            return self._mention(allele, Said.VISUAL, "named")
        if modifiers.wild_slash:
            return self._mention(allele, Said.HET, "het")
        if scope:
            return self._het(allele, modifiers, scope, after)
        if modifiers.percent or after:
            return self._percent_alone(allele, str(modifiers.percent or after))
        if modifiers.is_doubtful:
            return self._open_het(allele)
        return self._mention(allele, Said.VISUAL, "named")

    def _open_het(self, allele: Allele) -> Mention:
        self._warn("probability-not-stated", f"Possible het {allele.name}: what chance, and why?")
        return self._mention(allele, Said.OPEN_HET, "possible het")

    def _percent_alone(self, allele: Allele, percent: str) -> Mention:
        chance = chance_of(percent)
        if chance == 1:
            self._warn("percent-without-het", f"100% {allele.name}: visual, or 100% het? Not stated until written.")
            return self._mention(allele, Said.OPEN, f"{percent}%")
        self._warn("percent-without-het", f"{percent}% {allele.name} is read as {percent}% het {allele.name}.")
        return self._mention(allele, Said.HET, f"{percent}% het", chance)

    def _het(self, allele: Allele, modifiers: Modifiers, scope: Scope, after: str | None) -> Mention:
        if scope.chance == 0:
            return self._mention(allele, Said.ABSENT, "no het")
        if after and scope.own_percent:
            self._warn("percent-unused", f"{after}% after {allele.name}, but the het before it has its own.")
        elif after:
            self._mind_earlier(scope, after)
            return self._mention(allele, Said.HET, f"{after}% het", chance_of(after))
        if scope.chance is None or modifiers.is_doubtful:
            return self._open_het(allele)
        return self._mention(allele, Said.HET, scope.source, scope.chance)

    def _mind_earlier(self, scope: Scope, after: str) -> None:
        earlier = [mention for mention in scope.members if mention.said is Said.HET and mention.source == scope.source]
        if not earlier or chance_of(after) == 1:
            return
        for mention in earlier:
            mention.said, mention.source = Said.OPEN_HET, "possible het"
        names = ", ".join(mention.allele.name for mention in earlier if mention.allele)
        self._warn("percent-scope", f"Does {after}% hold for {names} too? Not stated until it is written.")

    def _visible(self, allele: Allele, modifiers: Modifiers, scope: Scope | None, after: str | None) -> Mention:
        if modifiers.absent:
            return self._mention(allele, Said.ABSENT, "no")
        percent = modifiers.percent or after
        if modifiers.super_word or modifiers.twice:
            return self._two(allele, modifiers, percent)
        if (modifiers.visual or modifiers.wild_slash) and not (modifiers.is_doubtful or percent):
            return self._mention(allele, Said.ONE, "named")
        if scope:
            return self._visible_in_het(allele, modifiers, scope, after)
        if squashed(self._token.text).startswith("het") and not squashed(allele.name).startswith("het"):
            self._warn("het-names-visible", f"{self._token.text} is one visible copy of {allele.name}.")
        if percent:
            return self._mention(allele, Said.DOUBT, f"{percent}% chance", chance_of(str(percent)))
        if modifiers.is_doubtful:
            self._warn("assumed-half", f"{allele.name} is doubtful; one chance in two is assumed. Give a number.")
            doubt = self._mention(allele, Said.DOUBT, "possible", 0.5)
            doubt.assumed = True
            return doubt
        if allele.inheritance is Inheritance.DOMINANT and allele.lethal < 1:
            self._warn("one-copy-assumed", f"One and two copies of {allele.name} look alike; one is read.")
        return self._mention(allele, Said.ONE, "named")

    def _two(self, allele: Allele, modifiers: Modifiers, percent: object) -> Mention:
        if percent:
            return self._mention(allele, Said.TWO_DOUBT, f"{percent}% super", chance_of(str(percent)))
        if modifiers.is_doubtful:
            return self._mention(allele, Said.OPEN_SUPER, "possible super")
        return self._mention(allele, Said.TWO, "super")

    def _visible_in_het(self, allele: Allele, modifiers: Modifiers, scope: Scope, after: str | None) -> Mention:
        if scope.members and not after and scope.chance != 0:
            self._warn("visible-after-het", f"{allele.name} shows with one copy; read as one visible copy.")
            return self._mention(allele, Said.ONE, "named")
        mention = self._het(allele, Modifiers(), scope, after) if scope.chance is not None else None
        self._warn(
            "het-of-visible",
            f"{allele.name} shows with one copy. Is it visible, or not there? Read literally until corrected.",
        )
        if mention is None or modifiers.is_doubtful:
            return self._mention(allele, Said.OPEN, "possible het")
        if mention.said is Said.HET:
            mention.said = Said.DOUBT
        return mention

    def _het_of_two_copies(self, allele: Allele, scope: Scope, after: str | None) -> Mention:
        """One copy of the allele whose two copies have the name ("het Ivory")."""
        self._warn("het-names-visible", f"het {self._token.text} is one visible copy of {allele.name}.")
        mention = self._het(allele, Modifiers(), scope, after)
        if mention.said is Said.HET and mention.chance == 1:
            mention.said = Said.ONE
        elif mention.said is Said.HET:
            mention.said = Said.DOUBT
        elif mention.said is Said.OPEN_HET:
            mention.said = Said.OPEN
        return mention

    def _combo(self, combo: Combo, modifiers: Modifiers, scope: Scope | None, after: str | None) -> list[Mention]:
        if scope and not modifiers.visual:
            return self._het_combo(combo, scope, after)
        literal = is_literal(combo, self._token.text, self._catalogue)
        twice = None
        if modifiers.super_word == "super" or modifiers.twice:
            twice = opening_ingredient(combo, self._token.text, self._catalogue)
            if twice is None:
                self._warn("super-of-combo", f"Which part of {combo.name} has two copies? Each is read as named.")
        open_part = modifiers.is_doubtful or modifiers.percent or after
        if open_part:
            self._warn("probability-not-stated", f"{combo.name} is doubtful: each of its genes is not stated.")
        found = []
        for allele, n_copies, optional in ingredients(combo, self._catalogue):
            mention = self._ingredient(allele, 2 if allele.key == twice else n_copies, optional)
            mention.source = "named" if literal else f"combo {combo.name}"
            mention.combo = "" if literal else combo.name
            if modifiers.absent:
                mention.said, mention.source = Said.ABSENT, "no"
            elif open_part:
                mention.said, mention.assumed = Said.OPEN, False
            found.append(mention)
        return found

    def _ingredient(self, allele: Allele, n_copies: int, optional: bool) -> Mention:
        if optional:
            mention = self._mention(allele, Said.DOUBT, "", 0.5)
            mention.assumed = True
            return mention
        self._mind_line(allele)
        if is_recessive(allele):
            return self._mention(allele, Said.VISUAL, "")
        return self._mention(allele, Said.TWO if n_copies == 2 else Said.ONE, "")

    def _het_combo(self, combo: Combo, scope: Scope, after: str | None) -> list[Mention]:
        parts = ingredients(combo, self._catalogue)
        if len(parts) == 1 and not is_recessive(parts[0][0]):
            return [self._het_of_two_copies(parts[0][0], scope, after)]
        loci = [allele.locus for allele, _, _ in parts]
        found = []
        for allele, _, _ in parts:
            if is_recessive(allele) and loci.count(allele.locus) == 1:
                found.append(self._recessive_in_het(allele, scope, after))
            else:
                found.append(self._mention(allele, Said.OPEN, f"combo {combo.name}"))
        if any(mention.said is Said.OPEN for mention in found):
            self._warn("het-of-combo", f"Het {combo.name}: not every gene in it is stated. Name each gene.")
        return found

    def _recessive_in_het(self, allele: Allele, scope: Scope, after: str | None) -> Mention:
        self._mind_line(allele)
        return self._het(allele, Modifiers(), scope, after)

    def _mind_line(self, allele: Allele) -> None:
        if allele.name.endswith("line not named"):
            self._warn("line-not-named", f"{self._token.text}: of which line? Lines do not match each other.")
