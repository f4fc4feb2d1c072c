"""Compiling ahead."""

from floatbowl.belief import every, lookup, triangle, warm


def test_warming_up_compiles_what_is_used_later() -> None:
    """After it ran, every kernel of the belief is compiled for the very kinds of number it is handed."""
    warm.main()
    kernels = (triangle.times_triangle, triangle.through_triangle, lookup._look_up, every._weigh)
    assert all(kernel.signatures for kernel in kernels)
