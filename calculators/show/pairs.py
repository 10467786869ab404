"""A quantity told in both unit worlds inside a sentence: the reader sees the one that is theirs."""

import re
from html import escape

_FIGURE = r"[\d½¼¾⅓⅔⅛⅜⅝⅞](?:(?:(?! {2}|\. )[\d.,/½¼¾⅓⅔⅛⅜⅝⅞\u202f\u00a0 –×])*[\d½¼¾⅓⅔⅛⅜⅝⅞])?"
_METRIC = r"(?:mm|cm|m/kg|m|km|g|kg|°C|/cm|g/m²|per cm|ends per cm|picks per cm)"
_IMPERIAL = r"(?:in|inch|inches|ft|yd/lb|yd|miles|oz|lb|°F|per inch|oz/yd²|epi|ppi)"
# 48 cm (18 7/8 in), 25–30 mm (1–1¼ in), 5.37 m (5.87 yd, or 5 yd 31 3/8 in), 60/10 (15-dent)
PAIR = re.compile(
    rf"(?<![\w.,/–-])(?P<metric>{_FIGURE}[ \u00a0\u202f]?{_METRIC}|[\d.]+/10)"
    rf"[ \u00a0]\((?P<imperial>{_FIGURE}[ \u00a0\u202f]?{_IMPERIAL}"
    rf"(?:,?(?: or)? {_FIGURE}[ \u00a0\u202f]?{_IMPERIAL})*|[\d.]+-dent)\)"
)


def pair_html(metric: str, imperial: str) -> str:
    """Write a quantity in both unit worlds for a sentence, once where they agree.

    >>> pair_html("8 %", "8 %")
    '8 %'
    """
    if metric == imperial:
        return escape(metric)
    return (
        f'<span class="ft-both"><span class="ft-metric">{escape(metric)}</span>'
        f'<span class="ft-imperial"> <span class="ft-paren">(</span>{escape(imperial)}'
        '<span class="ft-paren">)</span></span></span>'
    )


def sentence_html(text: str) -> str:
    """Write a sentence; each quantity that it tells in both unit worlds shows the reader's.

    >>> "ft-metric" in sentence_html("Leave 48 cm (18 7/8 in) of it.")
    True
    """
    if "(" not in text:  # long lists of figures are not looked through for pairs
        return escape(text)
    parts, place = [], 0
    for found in PAIR.finditer(text):
        parts += [
            escape(text[place : found.start()]),
            pair_html(found["metric"], found["imperial"]),
        ]
        place = found.end()
    return "".join((*parts, escape(text[place:])))


def inches_first(text: str) -> str:
    """Turn each quantity that is told in both unit worlds round, for a reader in inches.

    >>> inches_first("Leave 48 cm (18 7/8 in) of it.")
    'Leave 18 7/8 in (48 cm) of it.'
    >>> inches_first("4 in a dent of the 60/10 (15.2-dent) reed")
    '4 in a dent of the 15.2-dent (60/10) reed'
    """
    return PAIR.sub(r"\g<imperial> (\g<metric>)", text)


def in_each_world(text: str) -> tuple[str, str]:
    """Tell a sentence to a reader in centimetres, and to one in inches.

    >>> in_each_world("Leave 48 cm (18 7/8 in) of it.")
    ('Leave 48 cm of it.', 'Leave 18 7/8 in of it.')
    """
    return PAIR.sub(r"\g<metric>", text), PAIR.sub(r"\g<imperial>", text)
