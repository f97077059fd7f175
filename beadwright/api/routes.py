"""The interface as a whole: its routes, described by the document at ``/api/openapi.json``."""

from __future__ import annotations

from ninja import NinjaAPI

import beadwright
from beadwright.api import asking, telling
from beadwright.api.callers import Sitting, Token
from beadwright.api.problems import add_handlers

__all__ = ["api"]

api = NinjaAPI(
    title="beadwright",
    version=beadwright.__version__,
    description="Questions of a plant's record, and forms that are posted to it.",
    urls_namespace="api",
    docs_url=None,  # ninja's page of documentation loads from other hosts
    openapi_url="/openapi.json",
    auth=[Token(), Sitting()],
)
api.add_router("", asking.router)
api.add_router("", telling.router)
add_handlers(api)
