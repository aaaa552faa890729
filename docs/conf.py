"""Settings of the documentation build."""

project = "Cringle"
author = "the Cringle team"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.autosummary", "numpydoc"]
myst_enable_extensions = ["dollarmath", "deflist", "colon_fence"]
myst_heading_anchors = 3
html_theme = "furo"
html_title = "Cringle"
exclude_patterns = ["_build"]
numpydoc_show_class_members = False
autodoc_typehints = "description"
suppress_warnings = ["myst.header", "ref.footnote", "ref.citation"]
