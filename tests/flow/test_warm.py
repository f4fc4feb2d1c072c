"""Compiling ahead."""

from floatbowl.flow import balance, engine, warm


def test_warming_up_compiles_what_is_used_later() -> None:
    """After it ran, both kernels are compiled for the very kinds of number that the flow hands them."""
    warm.main()
    assert engine._run_all.signatures
    assert balance._feed_all.signatures
