"""How the documentation is built. A warning is an error, and nothing is fetched from outside."""

import beadwright

project = "beadwright"
author = "beadwright contributors"
copyright = "2026, beadwright contributors"
release = beadwright.__version__

extensions = ["myst_parser"]
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 3
exclude_patterns = ["_build"]
nitpicky = True
suppress_warnings: list[str] = []

language = "en_GB"
html_theme = "furo"
html_title = f"beadwright {release}"
html_show_sphinx = False
html_copy_source = False
html_theme_options = {"footer_icons": []}
