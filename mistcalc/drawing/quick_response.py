"""A QR code (ISO/IEC 18004, by reportlab) as one path of squares, for the camera of another phone."""

from __future__ import annotations

from typing import Any


def quick_code(text: str) -> dict[str, Any]:
    """{"size": modules a side, "path": an SVG path of the dark ones}, without the white around them."""
    from reportlab.graphics.barcode import qrencoder  # here: slow to load, and only this page needs it

    code = qrencoder.QRCode(None, qrencoder.QRErrorCorrectLevel.M)
    code.addData(text)
    code.make()
    size = code.getModuleCount()
    dark = [(x, y) for y in range(size) for x in range(size) if code.isDark(y, x)]
    return {"size": size, "path": "".join(f"M{x} {y}h1v1h-1z" for x, y in dark)}
