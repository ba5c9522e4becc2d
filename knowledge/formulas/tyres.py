"""Sizes of a tyre: what its code says, and how wide it stands on a rim."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.standards.tyre_code import parse_tyre_code

WIDTH_GAIN = 0.4  # section gained per rim width gained


@formula()
def tyre_free_diameter(code: str) -> float:
    """Overall diameter of an unloaded tyre, from its code.

    D = d + 2 S x aspect (metric); the first number (flotation)

    Parameters
    ----------
    code : word
        The size as marked, such as 235/75R15, LT235/85R16 or 31x10.50R15LT.

    Returns
    -------
    length [m]
        Nominal overall diameter; a real tyre differs by 1 to 3 %.

    Valid for
    ---------
    Codes that ``parse_tyre_code`` reads; any other raises FormulaError.

    Examples
    --------
    >>> round(tyre_free_diameter("235/75R15"), 4)
    0.7335

    References
    ----------
    UN R30 6.1.2 and ISO 4000-1 (clause from memory); flotation sizes: Tire and Rim Association yearbook (read
    second-hand).
    """
    return parse_tyre_code(code).diameter


@formula()
def tyre_section_width(code: str) -> float:
    """Nominal section width of a tyre on its measuring rim, from its code.

    Parameters
    ----------
    code : word
        The size as marked.

    Returns
    -------
    length [m]
        Section width S, without raised lettering.

    Valid for
    ---------
    Codes that ``parse_tyre_code`` reads; any other raises FormulaError.

    References
    ----------
    UN R30 6.1.1 (clause from memory).
    """
    return parse_tyre_code(code).section


@formula()
def tyre_section_height(code: str) -> float:
    """Height of a tyre's section, rim seat to tread, from its code.

    H = S x aspect (metric); (D - d)/2 (flotation)

    Parameters
    ----------
    code : word
        The size as marked.

    Returns
    -------
    length [m]
        Section height H, unloaded.

    Valid for
    ---------
    Codes that ``parse_tyre_code`` reads; any other raises FormulaError.

    References
    ----------
    UN R30 6.1.2 (clause from memory).
    """
    return parse_tyre_code(code).section_height


@formula()
def tyre_rim_diameter(code: str) -> float:
    """Diameter of the rim a tyre goes on, from its code.

    Parameters
    ----------
    code : word
        The size as marked.

    Returns
    -------
    length [m]
        Rim code times 25.4 mm, exactly.

    Valid for
    ---------
    Codes that ``parse_tyre_code`` reads; any other raises FormulaError.

    Notes
    -----
    The table of UN R30 rounds to the millimetre: 406 for 16, where this gives 406.4.

    References
    ----------
    UN R30 2.20 and its table of rim codes (from memory).
    """
    return parse_tyre_code(code).rim


@formula(
    valid={"section": (0.1, 0.45), "measuring_rim": (0.08, 0.4), "rim": (0.08, 0.4)},
    rises=("section", "rim"),
    falls=("measuring_rim",),
)
def section_width_on_rim(section: float, measuring_rim: float, rim: float) -> float:
    """Section width of a tyre on a rim that is not its measuring rim.

    S = S1 + 0.4 (A - A1)

    Parameters
    ----------
    section : length [m]
        Section width S1 on the measuring rim, as in the size.
    measuring_rim : length [m]
        Width A1 of the measuring rim, between bead seats.
    rim : length [m]
        Width A of the rim fitted, between bead seats.

    Returns
    -------
    length [m]
        Section width on the rim fitted.

    Valid for
    ---------
    Rims in the tyre's approved list.

    References
    ----------
    UN R30 6.1.1, K = 0.4 (from memory).
    """
    return section + WIDTH_GAIN * (rim - measuring_rim)


@formula(valid={"section": (0.1, 0.45), "rim": (0.08, 0.4)}, rises=("section",), falls=("rim",))
def section_to_rim_ratio(section: float, rim: float) -> float:
    """How many times wider than its rim a tyre is: a rule of thumb where the approved rims are not known.

    section / rim

    Parameters
    ----------
    section : length [m]
        Nominal section width.
    rim : length [m]
        Width of the rim between bead seats.

    Returns
    -------
    ratio [1]
        Common practice takes 1.0 to 1.4; the approved list of the yearbooks decides.

    Valid for
    ---------
    Radial tyres of aspect ratio 60 to 85 %.

    References
    ----------
    Common practice, no source.
    """
    return section / rim
