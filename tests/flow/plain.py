"""The compiled files of the flow once more, as plain Python, so that their constants can be changed."""

import importlib.util
from types import ModuleType

import numba
import pytest


def plain(module: ModuleType) -> ModuleType:
    """Load a module a second time without its compiler; the product's own module is left alone."""
    found = importlib.util.spec_from_file_location(f"plain_{module.__name__}", str(module.__file__))
    assert found
    assert found.loader
    twin = importlib.util.module_from_spec(found)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(numba.config, "DISABLE_JIT", 1)
        found.loader.exec_module(twin)
    return twin
