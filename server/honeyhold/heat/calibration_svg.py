"""What was told against what came, as SVG: is the house's word worth anything?"""

from __future__ import annotations

from typing import Any

from honeyhold.heat.calibration import calibration
from honeyhold.heat.svg import INK, PROPOLIS, SHADE, sheet, text, wrapped

LEFT, RIGHT, TOP, TALL = 42, 352, 40, 190
FLOOR = TOP + TALL


def draw_calibration(request: dict[str, Any]) -> dict[str, str]:
    """Draw one column for each band of told chances: what luck alone would do, what was told, what came.

    Request as `calibration`. Raises BadRequest.
    """
    answer = calibration(request)
    bands = answer["bands"]
    width = (RIGHT - LEFT) / max(1, len(bands))
    body = _scale()
    for at, band in enumerate(bands):
        body += _column(band, LEFT + width * (at + 0.5))
    bottom = FLOOR + 70
    body += [text(2, FLOOR + 18, "told"), text(2, FLOOR + 35, "came"), text(2, FLOOR + 52, "of")] if bands else []
    body += wrapped(answer["words"], bottom + 6, 2) + wrapped(answer["enough_words"], bottom + 42, 3)
    told = "; ".join(
        f"told {band['expected']:g} of {band['parcels']} harmed, {band['harmed']} came harmed, {band['words']}" for band in bands
    )
    return {"svg": sheet(bottom + 88, "Told against came", told or answer["words"], body)}


def _y(share: float) -> float:
    return FLOOR - TALL * share


def _line(start: tuple[float, float], end: tuple[float, float], width: float) -> str:
    (x, y), (to_x, to_y) = start, end
    return f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}" stroke="{INK}" stroke-width="{width}"/>'


def _scale() -> list[str]:
    body = [text(8, 20, "how many of ten came harmed", font_weight="bold")]
    for tenth in range(0, 11, 2):
        body.append(_line((LEFT, _y(tenth / 10)), (RIGHT, _y(tenth / 10)), 0.4 if tenth else 1.4))
        body.append(text(LEFT - 7, _y(tenth / 10) + 4, str(tenth), text_anchor="end"))
    return body


def _column(band: dict[str, Any], x: float) -> list[str]:
    """The broad bar of luck, a stroke where it was told, a dot where it came (filled where luck does not explain it), the counts."""
    count, fits = band["parcels"], band["words"] == "as told"
    told, came = _y(band["expected"] / count), _y(band["harmed"] / count)
    low, high = _y(band["luck_from"] / count) + 3, _y(band["luck_to"] / count) - 3
    weight = "normal" if fits else "bold"
    numbers = (f"{band['expected']:.1f}", str(band["harmed"]), str(count))
    return [
        f'<rect x="{x - 12:.1f}" y="{high:.1f}" width="24" height="{low - high:.1f}" fill="{SHADE}" stroke="{INK}" stroke-width="0.8"/>',
        _line((x - 19, told), (x + 19, told), 2.4),
        f'<circle cx="{x:.1f}" cy="{came:.1f}" r="6" fill="{"none" if fits else PROPOLIS}" stroke="{INK}" stroke-width="2.4"/>',
        *(
            text(x, FLOOR + 18 + 17 * at, number, text_anchor="middle", font_weight=weight if at == 1 else "normal")
            for at, number in enumerate(numbers)
        ),
    ]
