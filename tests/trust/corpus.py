"""Seeds of good input and the ways they are spoilt; the same seed number gives the same input again."""

import copy
import json
import random
from collections.abc import Iterator
from typing import Any

LENGTHS = ("12' 6 1/2\"", "12-6 1/2", "3.81 m", "381cm", "3810", "-4 in", '1/2"', "6.5 in", "12 ft 6 in")
OTHERS = ("30 psf", "1.5 kPa", "12 lb", "24 V", "15 °F", "-10 °C", "5.4e-5 /K", "40 kg/m3", "90 deg")
LM_63 = """IESNA:LM-63-2002
[TEST] invented
TILT=NONE
1 400 1 5 1 1 2 0.1 0.1 0
1 1 5
0 22.5 45 67.5 90
0
100 90 60 20 0
"""
PRICES = (
    "item,name,unit,pack,pack_price,supplier,lead_days,priced_on\nA,Screw,each,100,12.50,Quay,3,2026-05-01\n"
)
_SIGNS = list("'\"-/.,eE+ 0123456789infNaN\t\n\r\0\u00a0½′″٣−°²;{}[]<>&%$=@\\\ud7ff\U0001f528")
_VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1e308, -1e308, 1e-320, 10**30, "", " ", "NaN", "inf", [], {}, [[]], [[0, 0]],
    "12' 6 1/2\"", "x" * 5000, "\0", "<script>", "{{7*7}}", "../../etc", "=1+1", "0x10", "1/0\"",
)  # fmt: skip


def spoilt_text(seeds: tuple[str, ...], chance: random.Random) -> str:
    """Give a text a few signs away from a good one, or two halves of good ones."""
    text = list(chance.choice(seeds))
    for _ in range(chance.randint(0, 6)):
        at = chance.randint(0, len(text))
        way = chance.random()
        if way < 0.4:
            text.insert(at, chance.choice(_SIGNS))
        elif way < 0.7 and text:
            del text[min(at, len(text) - 1)]
        elif way < 0.85:
            text[at:at] = list(chance.choice(seeds))[: chance.randint(0, 40)]
        else:
            text[at:at] = [chance.choice(_SIGNS)] * chance.randint(1, 40)
    return "".join(text)


def spoilt_bytes(seed: bytes, chance: random.Random) -> bytes:
    """Give bytes a few away from good ones."""
    content = bytearray(seed)
    for _ in range(chance.randint(1, 8)):
        at = chance.randrange(len(content)) if content else 0
        way = chance.random()
        if way < 0.5 and content:
            content[at] = chance.randrange(256)
        elif way < 0.75:
            del content[at : at + chance.randint(1, 200)]
        else:
            content[at:at] = bytes(chance.randrange(256) for _ in range(chance.randint(1, 20)))
    return bytes(content)


def spoilt_document(seed: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """Give a document with some places taken away, doubled or filled with nonsense."""
    document = copy.deepcopy(seed)
    for _ in range(chance.randint(1, 4)):
        places = list(_places(document))
        holder, key = chance.choice(places)
        way = chance.random()
        if way < 0.55:
            holder[key] = copy.deepcopy(chance.choice(_VALUES))
        elif way < 0.7:
            del holder[key]
        elif way < 0.8 and isinstance(holder, dict):
            holder[f"{key}_"] = holder.pop(key)
        elif way < 0.9 and isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        else:
            other, other_key = chance.choice(places)
            try:
                holder[key] = json.loads(json.dumps(other[other_key]))
            except (KeyError, IndexError, TypeError, ValueError):
                continue
    return document


def some_value(chance: random.Random) -> Any:
    """Give a value that no form expects."""
    return copy.deepcopy(chance.choice(_VALUES))


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    if not isinstance(value, dict | list):
        return
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        yield from _places(value[key])
