"""Addresses that stay inside: where a person is sent on to is never another host."""

from __future__ import annotations

from django.utils.http import url_has_allowed_host_and_scheme

__all__ = ["inside"]


def inside(to: str, else_: str = "/") -> str:
    """Give an address that was asked for, if it is a path of ours."""
    fine = to.startswith("/") and url_has_allowed_host_and_scheme(to, allowed_hosts=None)
    return to if fine else else_
