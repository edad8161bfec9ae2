"""The code on a label: a plain address that leads to the record, drawn as a QR code."""

from __future__ import annotations

import ipaddress
import uuid
from urllib.parse import urlsplit

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from holdback.web.records.own_rules import OwnRules
from holdback.web.records.short_codes import code_of

QUIET = 4
"""Modules that stay white around a code (ISO/IEC 18004)."""


def base_address(rules: OwnRules, opened_by: str) -> str:
    """What the addresses in codes begin with: the own rule, else the address the page was opened by."""
    return (rules.qr_address or opened_by).rstrip("/")


def is_only_here(address: str) -> bool:
    """Whether no other computer or phone can open an address."""
    host = urlsplit(address).hostname or ""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost" or host.endswith(".localhost")


def code_address(base: str, key: uuid.UUID) -> str:
    """Address that leads to a record."""
    return f"{base}{reverse('pages:by-code', args=[code_of(key)])}"


def drawn(text: str) -> SafeString:
    """A text as a QR code, in error correction M: an inline drawing of black on white."""
    import segno

    code = segno.make(text, error="m", boost_error=False, micro=False)
    svg = code.svg_inline(omitsize=True, svgclass="qr", lineclass=None, border=QUIET, light="#fff")
    return mark_safe(svg)
