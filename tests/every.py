"""One property asked of many things in one test, which tells every thing that it fails for."""

from collections.abc import Callable, Iterable, Mapping
from inspect import signature
from typing import Any

import pytest

Things = Iterable[Any] | Mapping[str, Any]


def of_every(
    things: Things | Callable[[], Things],
) -> Callable[[Callable[..., None]], Callable[[], None]]:
    """Ask of every thing in a list, or in a mapping under its name.

    Where the property takes several, a thing comes apart, and a mapping's brings its name. What
    takes time to find is a function, which is called when the test runs.
    """

    def asked(holds: Callable[..., None]) -> Callable[[], None]:
        several = len(signature(holds).parameters) > 1

        def of_all() -> None:
            found = things() if callable(things) else things
            named = isinstance(found, Mapping)
            every = list(
                found.items() if isinstance(found, Mapping) else ((one, one) for one in found)
            )
            assert every, "nothing to ask it of"
            wrong = []
            for name, thing in every:
                try:
                    holds(*(name, thing) if named else thing) if several else holds(thing)
                except (Exception, pytest.fail.Exception) as fault:
                    wrong.append(f"{str(name)[:100]}: {type(fault).__name__} {fault}")
            assert not wrong, "\n".join([f"{len(wrong)} of {len(every)}", *wrong])

        of_all.__name__, of_all.__doc__ = holds.__name__, holds.__doc__
        of_all.__module__ = holds.__module__
        return of_all

    return asked
