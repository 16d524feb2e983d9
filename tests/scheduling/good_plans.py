"""Good plans, each computed by hand: the arithmetic stands above each."""

from __future__ import annotations

from dataclasses import replace

from by_hand import (
    FITS,
    OVEN,
    PAN,
    STANDARD,
    Good,
    away,
    change,
    day,
    plan,
    preheat,
    tray,
)
from good_small import one_pan, one_stand_place, one_tray, two_pan_loads

from benchplan.model import (
    Break,
    Cooling,
    Fit,
    Load,
    Order,
    Oven,
    QueuedTray,
    Times,
)


def _two_people() -> Good:
    # Two ovens, two people, two scales, ready 30 s; the helper is away 2000-2600, and whoever
    # unloads is idle for 30 s before. The ovens' temperatures are the same.
    big = Oven("big", (400.0, 400.0), preheat_s=900)
    return Good(
        "two people, two ovens, ready",
        day(
            Order("A", "standard", 4),
            Order("B", "standard", 4),
            Order("C", "standard", 2),
            ovens={"countertop": OVEN, "big": big},
            pans={"small": replace(PAN, count=3)},
            cooling=Cooling(stand=3, mat_mm=(750.0, 430.0)),
            times=Times(ready_s=30),
            breaks=(Break(2000, 600, 1),),
            people=2,
            scales=2,
        ),
        plan(
            (tray(1, "AAAA"), tray(2, "BBBB", 2), tray(3, "CC", 3)),
            (Load("countertop", 1, (1,)), Load("big", 1, (2,)), Load("countertop", 2, (3,))),
            """
            1 fill     1 scale_1    0-80
            2 fill     2 scale_2    0-80
            1 set      1 -          80-92
            2 set      2 -          80-92
            3 fill     2 scale_1    332-372
            3 set      1 -          372-378
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            2 load     1 big        900-915
            2 bake     - big        915-1335
            1 unload   2 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            3 load     2 countertop 1200-1215
            3 bake     - countertop 1215-1635
            1 transfer 2 stand_1    1230-1254
            2 unload   1 big        1335-1350
            2 rest     - stand_2    1350-1470
            2 transfer 2 stand_2    1470-1494
            3 unload   1 countertop 1635-1650
            3 rest     - stand_3    1650-1770
            3 transfer 2 stand_3    1770-1782
            1 cool     - mat        1254-3054
            2 cool     - mat        1494-3294
            3 cool     - mat        1782-3582
            1 pack     1 mat        3054-3122
            2 pack     2 mat        3294-3362
            3 pack     1 mat        3582-3616
            """,
            preheat(0, 660),
            preheat(0, 900, "big"),
            change(92, 332, 3, person=1),
            away(2, 2000, 2600),
            fits=(
                *FITS,
                Fit("pans on shelf", 2, 2, "rows", pan="small", oven="big"),
            ),
        ),
    )


def _mixed() -> Good:
    # One tray of three A and two B: 60 s, 240 s of cleaning, 40 s; then tray 2 of one B, no
    # cleaning, and one A, cleaning. 12 s and 6 s of set.
    return Good(
        "mixed scents",
        day(Order("A", "standard", 4), Order("B", "standard", 3), mix_scents=True),
        plan(
            (
                tray(1, "AABBA", to_fill=(("A", 3), ("B", 2))),
                tray(2, "AB", 2, to_fill=(("B", 1), ("A", 1))),
            ),
            (Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
            """
            1 fill     1 scale_1    0-60 300-340
            1 set      1 -          340-355
            2 fill     1 scale_1    355-375 615-635
            2 set      1 -          635-641
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            1 transfer 1 stand_1    1230-1260
            1 cool     - mat        1260-3060
            1 pack     1 mat        3060-3145
            2 load     1 countertop 1200-1215
            2 bake     - countertop 1215-1635
            2 unload   1 countertop 1635-1650
            2 rest     - stand_1    1650-1770
            2 transfer 1 stand_1    1770-1782
            2 cool     - mat        1782-3582
            2 pack     1 mat        3582-3616
            """,
            preheat(0, 660),
            change(60, 300, 1),
            change(375, 615, 2),
        ),
    )


def _on_pan() -> Good:
    # Tins stay on their pan on the stand, which has two places; pans are taken until the tins are
    # cleared into a box (3 s a tin, lids come later) and 100 s more: 2910 + 12 + 100 = 3022.
    return Good(
        "tins cool on their pan",
        day(
            Order("A", "standard", 12),
            cooling=Cooling(where="pan", stand=2, pan_for_s=100),
            pack="later",
        ),
        plan(
            (tray(1, "AAAA"), tray(2, "AAAA", 2), tray(3, "AAAA", 1)),
            (
                Load("countertop", 1, (1,)),
                Load("countertop", 2, (2,)),
                Load("countertop", 3, (3,)),
            ),
            """
            1 fill     1 scale_1    0-80
            1 set      1 -          80-92
            2 fill     1 scale_1    92-172
            2 set      1 -          172-184
            3 fill     1 scale_1    184-264
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 cool     - stand_1    1110-2910
            1 pack     1 stand_1    2910-2922
            2 load     1 countertop 1200-1215
            2 bake     - countertop 1215-1635
            2 unload   1 countertop 1635-1650
            2 cool     - stand_2    1650-3450
            2 pack     1 stand_2    3450-3462
            3 set      1 -          3022-3034
            3 load     1 countertop 3034-3049
            3 bake     - countertop 3049-3469
            3 unload   1 countertop 3469-3484
            3 cool     - stand_1    3484-5284
            3 pack     1 stand_1    5284-5296
            """,
            preheat(0, 660),
            fits=FITS[:2],
        ),
    )


def _breaks() -> Good:
    # Everyone is away 1300-3100: the first load is out before, the oven heats again 3100-3760.
    # The fill of tray 2 is split by the preheat's end only because hands must load.
    return Good(
        "a break for everyone",
        day(Order("A", "standard", 8), breaks=(Break(1300, 1800),)),
        plan(
            (tray(1, "AAAA"), tray(2, "AAAA", 2)),
            (Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
            """
            1 fill     1 scale_1    0-80
            1 set      1 -          80-92
            2 fill     1 scale_1    92-172
            2 set      1 -          172-184
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            1 transfer 1 stand_1    1230-1254
            1 cool     - mat        1254-3100
            1 pack     1 mat        3100-3168
            2 load     1 countertop 3760-3775
            2 bake     - countertop 3775-4195
            2 unload   1 countertop 4195-4210
            2 rest     - stand_1    4210-4330
            2 transfer 1 stand_1    4330-4354
            2 cool     - mat        4354-6154
            2 pack     1 mat        6154-6222
            """,
            preheat(0, 660),
            preheat(3100, 3760),
            away(1, 1300, 3100),
        ),
    )


def _two_temperatures() -> Good:
    # From 158 to 169.5 degC: 11.5 K at 6.1 s are 70.15 s, so 71 s more than the 90 s of recover.
    # 1110 + 161 = 1271. The maker's own queue, kept in order.
    hot = replace(STANDARD, name="hot", bake_at_c=169.5, bake_for_s=300)
    return Good(
        "two temperatures, the maker's own order",
        day(
            Order("A", "hot", 4),
            Order("A", "standard", 4),
            recipes={"standard": STANDARD, "hot": hot},
            ovens={"countertop": replace(OVEN, per_kelvin_s=6.1)},
            queue=(QueuedTray(("A",) * 4, "standard", "small"), QueuedTray(("A",) * 4, "hot")),
            keep_order=True,
        ),
        plan(
            (tray(1, "AAAA"), tray(2, "AAAA", 2, recipe="hot")),
            (Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
            """
            1 fill     1 scale_1    0-80
            1 set      1 -          80-92
            2 fill     1 scale_1    92-172
            2 set      1 -          172-184
            1 load     1 countertop 660-675
            1 bake     - countertop 675-1095
            1 unload   1 countertop 1095-1110
            1 rest     - stand_1    1110-1230
            1 transfer 1 stand_1    1230-1254
            1 cool     - mat        1254-3054
            1 pack     1 mat        3054-3122
            2 load     1 countertop 1271-1286
            2 bake     - countertop 1286-1586
            2 unload   1 countertop 1586-1601
            2 rest     - stand_1    1601-1721
            2 transfer 1 stand_1    1721-1745
            2 cool     - mat        1745-3545
            2 pack     1 mat        3545-3613
            """,
            preheat(0, 660),
        ),
    )


def _zero_times() -> Good:
    # Filled the evening before, nothing takes time but the oven and the packing.
    quick = replace(STANDARD, rest_for_s=0, cool_for_s=0)
    times = Times(fill_s=20, set_s=0, load_s=0, unload_s=0, transfer_s=0, pack_s=5)
    return Good(
        "zero times",
        day(
            Order("A", "standard", 4, filled=4),
            Order("B", "standard", 4, filled=4),
            recipes={"standard": quick},
            ovens={"countertop": replace(OVEN, preheat_s=0, recover_s=0)},
            times=times,
        ),
        plan(
            (tray(1, "AAAA", to_fill=()), tray(2, "BBBB", 2, to_fill=())),
            (Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
            """
            1 fill     - -          0-0
            1 set      - -          0-0
            1 load     - countertop 0-0
            1 bake     - countertop 0-420
            1 unload   - countertop 420-420
            1 rest     - stand_1    420-420
            1 transfer - stand_1    420-420
            1 cool     - mat        420-420
            1 pack     1 mat        420-440
            2 fill     - -          0-0
            2 set      - -          0-0
            2 load     - countertop 420-420
            2 bake     - countertop 420-840
            2 unload   - countertop 840-840
            2 rest     - stand_1    840-840
            2 transfer - stand_1    840-840
            2 cool     - mat        840-840
            2 pack     1 mat        840-860
            """,
        ),
    )


GOOD = (
    one_tray(),
    one_stand_place(),
    one_pan(),
    two_pan_loads(),
    _two_people(),
    _mixed(),
    _on_pan(),
    _breaks(),
    _two_temperatures(),
    _zero_times(),
)
