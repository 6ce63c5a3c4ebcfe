"""Lengths in both units, for sentences to whoever gave a figure in either."""

MM_PER_INCH = 25.4


def in_both(*mm: float) -> str:
    """Lengths in mm with the same in inches: "90 mm (3.54 in)", "300 × 50 mm (11.8 × 1.97 in)"."""
    metric = " × ".join(f"{float(f'{one:.1f}'):g}" for one in mm)
    return f"{metric} mm ({' × '.join(f'{one / MM_PER_INCH:.3g}' for one in mm)} in)"
