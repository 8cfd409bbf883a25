#!/usr/bin/env python3
"""Lists that are hard on a page: none, many, long words, other directions of writing, markup in what was said.

Usage: lists.py FOLDER   writes empty.json, many.json, odd.json, and walks of the same kind: empty.vtt, many.vtt, odd.vtt
"""
import json, os, sys

def item(n, **more):
    base = {"id": f"{n:04x}", "number": n, "area": ["Ground floor", f"Room {n % 17 + 1}"], "where": "left of the door",
            "element": "baseboard", "fault": "ding", "work": "touch-up", "trade": "painter", "section": "09 90 00",
            "standing": "outstanding", "text": "Touch up baseboard: ding, left of the door", "count": None, "measure": None,
            "urgent": False, "by": None, "hazard": None, "follow_up": None, "promised_by": None, "confidence": 0.8,
            "said": [{"walk": "w1", "start": 3.0 * n, "end": 3.0 * n + 2, "text": "a ding in the baseboard left of the door"}],
            "why": []}
    base.update(more)
    return base

def build(items, cleared=()):
    areas = []
    for path in [i["area"] for i in items] + [c["area"] for c in cleared]:
        if path not in [a["path"] for a in areas]:
            areas.append({"id": f"a{len(areas) + 1}", "path": path, "kind": None, "state": "outstanding",
                          "visits": [{"walk": "w1", "start": 0, "end": 1}]})
    return {"schema": "storystick/list/1",
            "walks": [{"id": "w1", "file": "cooper-lane.vtt", "format": "webvtt", "sha256": "0" * 64, "seconds": 900, "words": 2000,
                       "recorded": "2026-03-02", "media": None}],
            "areas": areas, "items": items, "cleared": list(cleared), "passed_over": []}

trades = ["painter", "plumber", "electrician", "finish-carpenter", "tile", "superintendent"]
works = ["touch-up", "seal", "replace", "clean", "install", "repair", "adjust", "check"]
hazards = [None] * 6 + ["electric", "fall", "gas"]
many = [item(n, trade=trades[n % 6], work=works[n % 8], hazard=hazards[n % 9], urgent=n % 11 == 0,
             standing="query" if n % 8 == 7 else "outstanding",
             follow_up="photo" if n % 13 == 0 else None, promised_by="speaker" if n % 13 == 0 else None) for n in range(1, 201)]
script = "<script>alert('x')</script> & \"quoted\" \x1b[31m"
odd = [item(1, text=script, said=[{"walk": "w1", "start": 1, "end": 2, "text": script}], where=script, element=script, area=[script]),
       item(2, area=["غرفة المعيشة"], where="خلف الباب", text="Touch up غرفة"),
       item(3, area=["Donaudampfschifffahrtsgesellschaftskapitänskajüte" * 3], element="x" * 400, text="y" * 1500),
       item(4, text="", said=[], where=None, element=None, area=[], number=0, hazard="fall", urgent=True,
            follow_up="ask", promised_by="<b>דוד</b>", by="before <i>Friday</i>", standing="query"),
       item(5, said=[{"walk": "w1", "start": 9, "end": 10, "text": "do not tell the painter", "private": True}]),
       item(6, text="=1+2", where="@home", element="-x", fault="+1")]
fine = [{"id": "c1", "area": ["Kitchen"], "element": script, "kind": "made-good", "confidence": 0.9,
         "said": [{"walk": "w1", "start": 1, "end": 2, "text": "fine"}], "why": []}]
os.makedirs(sys.argv[1], exist_ok=True)
for name, data in [("empty", build([])), ("many", build(many)), ("odd", build(odd, fine))]:
    with open(os.path.join(sys.argv[1], name + ".json"), "w", encoding="utf-8") as f:
        json.dump(data, f, ensure_ascii=False)

rooms = ["Kitchen", "Hall", "Bathroom", "Garage", "Bedroom 2", "Laundry"]
told = ["There's a scuff on the door frame.", "The baseboard is loose.", "The outlet is dead.", "Two tiles are cracked.",
        "The faucet drips.", "The handrail is missing."]
walks = {"empty": ["Good morning everybody."],
         "many": [line for n in range(200) for line in ([rooms[n // 34] + "."] if n % 34 == 0 else []) + [told[n % 6]]],
         "odd": ["Kitchen.", "The &lt;script&gt;alert('x')&lt;/script&gt; door is scuffed.", "<script>alert('x')</script> The outlet is dead.",
                 "The " + "Donaudampfschifffahrtsgesellschaft" * 6 + " shelf is loose.", "الباب خلف المطبخ the door is scratched.",
                 "Hall. All good here."]}
stamp = lambda s: f"{s // 3600:02}:{s // 60 % 60:02}:{s % 60:02}.000"
for name, lines in walks.items():
    cues = [f"{stamp(4 * n)} --> {stamp(4 * n + 3)}\n{line}\n" for n, line in enumerate(lines)]
    with open(os.path.join(sys.argv[1], name + ".vtt"), "w", encoding="utf-8") as f:
        f.write("\n".join(["WEBVTT\n", *cues]))
