"""The programming interface: questions and forms under /api/, for machines and programs.

Lives here: routes, who may ask them, answers as JSON, problems as RFC 9457 writes them.
Read first: beadwright.api.routes, then beadwright.api.callers.
May import: interop, plant and all below; never the pages or the shell.
"""

__all__: list[str] = []
