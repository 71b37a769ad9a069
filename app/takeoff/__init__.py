"""The engine: geometry in; pieces, quantities, loads and findings out.

- roof: surface from spot heights, fall, ponding, drains, edges, keep-clear, the way up
- layout: where every visible piece lies: courses, borders, breakers, rips, end gaps, cladding, planters, beds
- framing: what carries it: sleepers, rims, blocking, pads, span checks, bearing
- roughin: what runs hidden: routes, circuits, lighting, voltage, sound, outlets, gas stub
- totals: what to bring: quantities, cutting, fasteners, loads by place, carries
- chain: calls the five in order and gathers the findings
"""
