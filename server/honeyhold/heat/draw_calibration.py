"""What was told against what came, as SVG: is the house's word worth anything?"""

from __future__ import annotations

from typing import Any

from honeyhold.heat.calibration import calibration
from honeyhold.heat.sheet import INK, PROPOLIS, SHADE, sheet, text, wrapped

LEFT, TOP, SIDE = 62, 44, 236


def draw_calibration(request: dict[str, Any]) -> dict[str, str]:
    """Draw told against came: a broken line where both agree, for each band what luck alone would do and what came.

    Request as `calibration`. Raises BadRequest.
    """
    answer = calibration(request)
    body = [*_axes(), *(part for band in answer["bands"] for part in _band(band))]
    bottom = TOP + SIDE + 52
    body += wrapped(answer["words"], bottom, 2) + wrapped(answer["enough_words"], bottom + 32, 3)
    told = "; ".join(
        f"told {band['expected']:g} of {band['parcels']} harmed, {band['harmed']} came harmed, {band['words']}" for band in answer["bands"]
    )
    return {"svg": sheet(bottom + 70, "Told against came", told or answer["words"], body)}


def _x(share: float) -> float:
    return LEFT + SIDE * share


def _y(share: float) -> float:
    return TOP + SIDE * (1 - share)


def _line(start: tuple[float, float], end: tuple[float, float], width: float, colour: str = INK, dash: str = "") -> str:
    broken = f' stroke-dasharray="{dash}"' if dash else ""
    (x, y), (to_x, to_y) = start, end
    return f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}" stroke="{colour}" stroke-width="{width}"{broken}/>'


def _axes() -> list[str]:
    body = [text(8, 20, "of ten parcels, so many came harmed", font_size=13, font_weight="bold")]
    for tenth in range(0, 11, 2):
        share = tenth / 10
        body.append(_line((_x(0), _y(share)), (_x(1), _y(share)), 0.6 if tenth else 1.4))
        body.append(text(LEFT - 8, _y(share) + 4, str(tenth), text_anchor="end"))
        body.append(text(_x(share), TOP + SIDE + 16, str(tenth), text_anchor="middle"))
    body.append(text(_x(0.5), TOP + SIDE + 34, "so many were told to", text_anchor="middle", font_size=13, font_weight="bold"))
    return [*body, _line((_x(0), _y(0)), (_x(1), _y(1)), 1.4, INK, "5 5")]


def _band(band: dict[str, Any]) -> list[str]:
    """One band: the broad bar of luck, the dot of what came (hollow where it is within luck), and its count."""
    count, told = band["parcels"], band["expected"] / band["parcels"]
    came = band["harmed"] / count
    fits = band["words"] == "as told"
    low, high = _y(band["luck_from"] / count) + 2, _y(band["luck_to"] / count) - 2
    beside = 10 if told < 0.75 else -10
    anchor = "start" if beside > 0 else "end"
    fill = "none" if fits else PROPOLIS
    return [
        f'<rect x="{_x(told) - 6:.1f}" y="{high:.1f}" width="12" height="{low - high:.1f}" fill="{SHADE}" stroke="{INK}"/>',
        f'<circle cx="{_x(told):.1f}" cy="{_y(came):.1f}" r="5.5" fill="{fill}" stroke="{INK}" stroke-width="2.2"/>',
        text(_x(told) + beside, _y(came) - 8, f"{band['harmed']} of {count}", text_anchor=anchor),
    ]
