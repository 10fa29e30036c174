"""The measuring bench: small exact values, and the spellings in which people write them.

- `length`, `area`: whole nanometers; inches as fractions, or millimeters.
- `money`: whole minor units of one currency; `quantity`: whole millionths of a stock unit.
- `duration`, `day`: minutes, days, months and times of day as they are spoken.
- `custom`: how a currency's users write numbers and dates; `driving`: miles or kilometers.
- `share`: percentages (waste, markup, tax); `units`: the stock units, and the only pint.
- `rounding`: half-up, the one way this house rounds; `spoken`: what the readers share.

`parse_…` reads a text and refuses with `BadValue`, `show_…` writes one. There is no float here,
and nothing rounds until it is shown or posted. Import from the modules; the door stays light.
"""
