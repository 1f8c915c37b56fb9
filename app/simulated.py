"""Simulations for the pages: few members, so that nobody waits, and the last ones kept."""

import hashlib
from collections import OrderedDict
from threading import BoundedSemaphore, Lock
from typing import Any, Final

from wareontology.firing.plan import from_text

MEMBERS: Final = 200
"""Firings drawn for a page; the command draws 1,000 and more."""
SEED: Final = 7
MOST_AT_ONCE: Final = 2
_KEPT: Final = 32
_cache: "OrderedDict[str, dict[str, Any]]" = OrderedDict()
_lock = Lock()
_turns = BoundedSemaphore(MOST_AT_ONCE)


def answered(plan_text: str, name: str = "the plan") -> dict[str, Any]:
    """The answer of `simulate` for a plan's text. Raises Unreadable or BreaksShape where it is none."""
    plan = from_text(plan_text, name)
    key = key_of(plan_text)
    with _lock:
        if key in _cache:
            _cache.move_to_end(key)
            return _cache[key]
    from wareontology.firing.answer import to_data
    from wareontology.firing.simulate import simulate

    with _turns:  # the machine's cores are not all taken by one page
        found = to_data(simulate(plan, MEMBERS, SEED))
    with _lock:
        _cache[key] = found
        while len(_cache) > _KEPT:
            _cache.popitem(last=False)
    return found


def known(key: str) -> dict[str, Any] | None:
    """An answer that is still held, by its key."""
    with _lock:
        return _cache.get(key)


def key_of(plan_text: str) -> str:
    """What names a plan's text in an address."""
    return hashlib.sha256(plan_text.encode()).hexdigest()[:24]
