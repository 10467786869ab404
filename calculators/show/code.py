"""Handing a plan on: a code to scan."""

from io import BytesIO

from calculators.errors import InputError

LONGEST_ADDRESS = 1_800  # beyond this a phone no longer reads the code from paper


def code_svg(address: str) -> str:
    """Draw the QR code of an address, for a phone to read from paper or screen.

    Source: ISO/IEC 18004, by the segno library.
    """
    import segno  # noqa: PLC0415 - it takes long to load, and few answers need it

    if len(address) > LONGEST_ADDRESS:
        raise InputError(
            "address",
            f"This plan's link is {len(address)} characters long, too long for a code.",
            "Send the link itself, or the plan as a file.",
        )
    code = segno.make_qr(address, error="m" if len(address) < LONGEST_ADDRESS / 4 else "l")
    drawn = BytesIO()
    code.save(
        drawn,
        kind="svg",
        xmldecl=False,
        svgns=False,
        omitsize=True,
        border=4,
        dark="#000",
        light="#fff",
        svgclass="ft-qr",
        lineclass="",
        title="Code of this plan's link",
    )
    return drawn.getvalue().decode()
