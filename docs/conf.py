"""How the documentation is built: offline, from Markdown and from the docstrings."""

from __future__ import annotations

import importlib.util
import os
from html import escape
from typing import TYPE_CHECKING, Any

from docutils import nodes

import holdback

if TYPE_CHECKING:
    from sphinx.application import Sphinx

project = "Holdback"
author = "The Holdback authors"
copyright = "The Holdback authors"
version = release = holdback.__version__

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["_build", "words.txt"]
language = "en"
nitpicky = False

myst_enable_extensions = ["colon_fence", "deflist", "fieldlist"]
myst_heading_anchors = 3

autodoc_member_order = "bysource"
autodoc_typehints = "signature"
napoleon_google_docstring = False
napoleon_use_rtype = False

html_theme = "alabaster"
html_static_path = ["_static"]
html_css_files = ["holdback.css"]
html_math_renderer = "plain"
html_title = f"Holdback {release}"
html_show_sphinx = False
html_copy_source = False
html_theme_options = {
    "description": "What they carry, what a pairing may give",
    "fixed_sidebar": True,
    "show_powered_by": False,
    "page_width": "68rem",
    "sidebar_width": "15rem",
}
html_sidebars = {"**": ["about.html", "navigation.html", "searchbox.html"]}

if importlib.util.find_spec("holdback.web.settings_test") is not None:
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "holdback.web.settings_test")
    django.setup()


def _formula(tag: str) -> Any:
    """Write a formula as it was typed: the usual renderers fetch a script from the network."""

    def visit(writer: Any, node: nodes.Element) -> None:
        writer.body.append(f'<{tag} class="formula">{escape(node.astext())}</{tag}>')
        raise nodes.SkipNode

    return visit


def setup(app: Sphinx) -> None:
    """Add the renderer of formulas."""
    app.add_html_math_renderer("plain", (_formula("code"), None), (_formula("pre"), None))
