"""The known name that a person most likely meant."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known name nearest to ``word``, or "" when none is near."""
    import difflib  # only a file with problems pays for it

    plain = {name.casefold().strip(): name for name in known}
    found = difflib.get_close_matches(word.casefold().strip(), plain, n=1, cutoff=0.5)
    return plain[found[0]] if found else ""


def suggest(word: str, known: Iterable[str], nothing: str) -> str:
    """Return a cure: the nearest known name, or all that are known, or ``nothing``."""
    names = list(known)
    if near := nearest(word, names):
        return f'Did you mean "{near}"?'
    if not names:
        return nothing
    shown = ", ".join(names[:12]) + (", …" if len(names) > 12 else "")
    return f"Known here: {shown}."
