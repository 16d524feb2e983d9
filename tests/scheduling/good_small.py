"""The simplest good plans, each computed by hand: the arithmetic stands above each."""

from __future__ import annotations

from dataclasses import replace

from by_hand import (
    FITS,
    OVEN,
    PAN,
    STANDARD,
    Good,
    day,
    plan,
    preheat,
    tray,
)

from benchplan.model import (
    Cooling,
    Fit,
    Load,
    Order,
)


def one_tray() -> Good:
    # 4 tins: 80 s fill, 12 s set; the oven is hot at 660; 1110 + 120 rest; 24 s tongs; 1800 cool;
    # 68 s lids.
    return Good(
        "one tray",
        day(Order("A", "standard", 4)),
        plan(
            (tray(1, "AAAA"),),
            (Load("countertop", 1, (1,)),),
            """
            1 fill     1 scale_1    0-80
            1 set      1 -          80-92
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            1 transfer 1 stand_1    1230-1254
            1 cool     - mat        1254-3054
            1 pack     1 mat        3054-3122
            """,
            preheat(0, 660),
        ),
    )


def one_stand_place() -> Good:
    # The second load goes in 90 s after the first is out; the place is free from 1254 on. The
    # second fill is put down for the first set, the packs of tray 1 for the transfer of tray 2.
    return Good(
        "two trays, one stand place",
        day(Order("A", "standard", 8)),
        plan(
            (tray(1, "AAAA"), tray(2, "AAAA", 2)),
            (Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
            """
            1 fill     1 scale_1    0-80
            1 set      1 -          120-132
            2 fill     1 scale_1    80-120 132-172
            2 set      1 -          172-184
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            1 transfer 1 stand_1    1230-1254
            1 cool     - mat        1254-3054
            1 pack     1 mat        3054-3088 3100-3134
            2 load     1 countertop 1200-1215
            2 bake     - countertop 1215-1635
            2 unload   1 countertop 1635-1650
            2 rest     - stand_1    1650-1770
            2 transfer 1 stand_1    1770-1782 1790-1802
            2 cool     - mat        1802-3602
            2 pack     1 mat        3602-3670
            """,
            preheat(0, 660),
        ),
    )


def one_pan() -> Good:
    # The only pan is empty at 1254 and cools for 240 s: set at 1494. Mat for exactly 8.
    kit = replace(PAN, count=1)
    return Good(
        "two trays, one pan that must cool",
        day(
            Order("A", "standard", 8, filled=3),
            pans={"small": kit},
            cooling=Cooling(mat_tins=8, pan_for_s=240),
        ),
        plan(
            (tray(1, "AAAA", to_fill=(("A", 1),)), tray(2, "AAAA")),
            (Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
            """
            1 fill     1 scale_1    0-20
            1 set      1 -          20-32
            2 fill     1 scale_1    32-112
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            1 transfer 1 stand_1    1230-1254
            1 cool     - mat        1254-3054
            1 pack     1 mat        3054-3122
            2 set      1 -          1494-1506
            2 load     1 countertop 1506-1521
            2 bake     - countertop 1521-1941
            2 unload   1 countertop 1941-1956
            2 rest     - stand_1    1956-2076
            2 transfer 1 stand_1    2076-2100
            2 cool     - mat        2100-3900
            2 pack     1 mat        3900-3968
            """,
            preheat(0, 660),
            fits=(*FITS[:2], Fit("tins on mat", 8, None, "maker", tin="low 72")),
        ),
    )


def two_pan_loads() -> Good:
    # Trays 1 and 2 go in together and come out in the other order; tray 1 waits 15 s, which its
    # bake_late of 15 s just allows. Recover 90 s from 1140.
    recipe = replace(STANDARD, bake_late_s=15)
    return Good(
        "two pans a load",
        day(
            Order("A", "standard", 12),
            recipes={"standard": recipe},
            pans={"small": replace(PAN, count=3)},
            ovens={"countertop": replace(OVEN, shelves=2, most_tins=8)},
            cooling=Cooling(stand=2, mat_mm=(750.0, 430.0)),
        ),
        plan(
            (tray(1, "AAAA"), tray(2, "AAAA", 2), tray(3, "AAAA", 3)),
            (Load("countertop", 1, (1, 2)), Load("countertop", 2, (3,))),
            """
            1 fill     1 scale_1    0-80
            1 set      1 -          80-92
            2 fill     1 scale_1    92-172
            2 set      1 -          172-184
            3 fill     1 scale_1    184-264
            3 set      1 -          264-276
            1 load     1 countertop 660-675
            2 load     1 countertop 675-690
            1 bake     - countertop 690-1110
            2 bake     - countertop 690-1110
            2 unload   1 countertop 1110-1125
            1 unload   1 countertop 1125-1140
            2 rest     - stand_1    1125-1245
            1 rest     - stand_2    1140-1269
            3 load     1 countertop 1230-1245
            3 bake     - countertop 1245-1665
            2 transfer 1 stand_1    1245-1269
            1 transfer 1 stand_2    1269-1293
            3 unload   1 countertop 1665-1680
            3 rest     - stand_1    1680-1800
            3 transfer 1 stand_1    1800-1824
            2 cool     - mat        1269-3069
            1 cool     - mat        1293-3137
            3 cool     - mat        1824-3624
            2 pack     1 mat        3069-3137
            1 pack     1 mat        3137-3205
            3 pack     1 mat        3624-3692
            """,
            preheat(0, 660),
        ),
    )
