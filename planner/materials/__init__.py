"""The arithmetic of materials: rules that figures of an order of construction name.

A rule takes its arguments by name, as measurements, figures or quantities:
``given = { pieces = "panels", length = "length", allowance = "10 cm" }``. Here ``m`` is a
length, ``n`` a count, ``x`` a bare number such as a fullness; what has a value behind it may be
left out. A result ``n`` is rounded up to a whole one, ``x`` is not. Of nothing comes nothing:
a trim 0 long takes 0 of braid, and the step that sews it on is not there.

Cloth (``width`` is the cloth's, selvedges included)

| rule | given | result |
| --- | --- | --- |
| cut_lengths | pieces n, length m, allowance m 0 | m pieces x (length + allowance) |
| cloth_for_pieces | pieces n, piece m, length m, width m, allowance m 0, selvedges m 3 cm | m, side by side |
| skirt_widths | hem m, width m, selvedges m 3 cm | n widths of a straight skirt |
| cloth_for_widths | hem m, length m, width m, allowance m 0, selvedges m 3 cm | m |
| cloth_for_gores | gores n, hem m, waist m, length m, width m, allowance m 0, one_way n 0, selvedges m 3 cm, seam m 2 cm | m |
| circle_hem | length m, waist m 0, part x 1 | m hem of a circle or part of one |
| cloth_for_circle | length m, width m, waist m 0, part x 1, selvedges m 3 cm | m |
| train_hem | hem m, curve m | m half the level hem + curve |
| strip_length | finished m, fullness x 1, ends m 0 | m |
| strips_across | strip m, width m, selvedges m 3 cm, seam m 2 cm | n strips |
| strip_joins | strips n, ring n 0 | n joins (ring 1: closed) |
| cloth_for_strips | strips n, depth m, hem m 0, seam m 0 | m |
| bias_from_square | side m, strip m | m of bias |
| square_for_bias | length m, strip m, spare m 2.5 cm | m side of the square |
| bias_strips | length m, width m, selvedges m 3 cm | n full strips |
| bias_singly | length m, strip m, width m, selvedges m 3 cm | m, in full strips |
| bias_cloth | length m, strip m, width m, selvedges m 3 cm, spare m 2.5 cm | m, from a square |
| with_shrinkage | length m, share x 0.05 | m |
| with_nap | length m, share x 0.15 | m |
| with_matching | length m, pieces n, repeat m | m |
| facing_strip | hem m, share x 0.05 | m |
| tuck_length | tucks n, depth m | m taken up |
| with_tucks | length m, tucks n, depth m | m |

Fullness

| rule | given | result |
| --- | --- | --- |
| pleat_ratio | spacing m, depth m | x |
| pleated_strip | finished m, spacing m, depth m, ends m 0 | m |
| pleat_count | finished m, spacing m | n |
| gathers | finished m, fullness x 2 | m |
| fullness_of | ungathered m, finished m | x |
| cartridge_ratio | repeat m, thickness m | x |
| cartridge_count | length m, stitch m 1/4 in | n |
| cartridge_skirt | length m, lengths n 3, band m 18 in | m |

Notions

| rule | given | result |
| --- | --- | --- |
| button_gap | span m, buttons n, top m 1/2 in, bottom m 1/2 in | m |
| buttons_for | span m, gap m, top m 1/2 in, bottom m 1/2 in | n |
| bone_length | channel m, short m 1/2 in | m of one bone |
| bone_metres | bones n, channel m, short m 1 cm | m of all |
| eyelets | span m, spacing m 2.5 cm, sides n 2 | n |
| lacing_cord | pairs n, gap m, spacing m 2.5 cm | m |
| thread_machine | seam m, waste x 0.1 | m |
| thread_lockstitch | seam m, thickness m, stitch m, waste x 0.1 | m |
| thread_hand | seam m, takes x 3, waste x 0.1 | m (1.3: running) |
| thread_button | buttons n, each m 4 yd | m |
| braid | path m, repeats n 1, spare m 3 yd | m |
| edges | first m, second m 0, third m 0, fourth m 0, twice m 0 | m sum |
| pieces_together | first n, second n 0, third n 0, fourth n 0 | n sum |
| each_of | length m, parts n | m |
"""  # noqa: E501 - the tables are read by people who write orders

from planner.materials import cloth, fullness, notions
from planner.materials.rule import RULES, Rule

__all__ = ["RULES", "Rule", "cloth", "fullness", "notions"]
