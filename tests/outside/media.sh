#!/usr/bin/env bash
# Stills, photographs and links of handouts, with a clip and pictures made here. Usage: media.sh PROGRAM
# Needs ffmpeg and python3 with Pillow.
set -euo pipefail
program=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
ffmpeg -v error -f lavfi -i testsrc=size=960x540:rate=5:duration=20 -pix_fmt yuv420p "the walk.mp4"
mkdir photos
python3 - <<'P'
import json
from PIL import Image
def photo(name, time):
    exif = Image.Exif()
    if time:
        exif.get_ifd(0x8769)[0x9003] = time
    Image.new("RGB", (64, 48), (90, 120, 60)).save(f"photos/{name}", exif=exif)
photo("at-sill.jpg", "2026:03:02 09:15:06")
photo("hours-later.jpg", "2026:03:02 14:00:00")
photo("no-time.jpg", None)
said = lambda a, b: [{"walk": "w1", "start": a, "end": b, "text": "x"}]
item = lambda n, area, a: {"id": str(n), "number": n, "area": [area], "where": None, "element": "sill", "work": "touch-up", "trade": "painter",
                           "standing": "outstanding", "text": "Touch up sill", "said": said(a, a + 2)}
json.dump({"schema": "storystick/list/1", "walks": [{"id": "w1", "file": "the walk.vtt", "format": "webvtt", "sha256": "0", "seconds": 20.0,
           "words": 5}], "areas": [], "items": [item(1, "Hall", 5), item(2, "Den", 500)], "cleared": []}, open("list.json", "w"))
P
"$program" handouts list.json -o out --media "the walk.mp4" --stills --photos photos --recorded 2026-03-02T09:15:00 2>notes
python3 - <<'P'
page, notes = open("out/painter.html").read(), open("notes").read()
first, second = page.split('"no">2<')
assert '<a href="../the%20walk.mp4#t=5,7">0:05</a>' in first
assert first.count("<img ") == 2 and "From the recording at 0:06" in first and "at-sill.jpg, taken at 0:06" in first, notes
assert "<img " not in second
for name in ["hours-later.jpg fits no item", "no-time.jpg fits no item", "no still for 1 of 2"]:
    assert name in notes, notes
P
# Without --recorded the recording's own file tells when it began: its container, else its last change less its length.
ffmpeg -v error -i "the walk.mp4" -c copy -metadata creation_time=2026-03-02T09:15:00Z stamped.mp4
TZ=UTC "$program" handouts list.json -o stamped --media stamped.mp4 --photos photos 2>notes
grep -q "begun at 2026-03-02T09:15:00: stamped.mp4 tells its container's time of creation" notes
grep -q 'at-sill.jpg, taken at 0:06' stamped/painter.html
TZ=UTC touch -d 2026-03-02T09:15:20 "the walk.mp4"
TZ=UTC "$program" handouts list.json -o changed --media "the walk.mp4" --photos photos 2>notes
grep -q 'begun at 2026-03-02T09:15:00: .* last changed, less its length' notes
grep -q 'at-sill.jpg, taken at 0:06' changed/painter.html
# A list of two walks: each walk's pictures by its own beginning.
python3 - <<'P'
import json
l = json.load(open("list.json"))
l["walks"].append(dict(l["walks"][0], id="w2", file="again.vtt", recorded="2026-03-02T14:00:00"))
l["items"][1]["said"] = [{"walk": "w2", "start": 1, "end": 2, "text": "x"}]
json.dump(l, open("two.json", "w"))
l["walks"][1]["recorded"] = None
json.dump(l, open("unknown.json", "w"))
P
"$program" handouts two.json -o two --photos photos --recorded 2026-03-02T09:15:00 2>notes
python3 - <<'P'
first, second = open("two/painter.html").read().split('"no">2<')
assert "at-sill.jpg, taken at 0:06" in first and "hours-later.jpg, taken at 0:00" in second, open("notes").read()
P
"$program" handouts unknown.json -o unknown --photos photos --recorded 2026-03-02T09:15:00 2>notes
grep -q "no photographs are put to again.vtt" notes
# Of the second walk no recording is named: it says what to do.
"$program" handouts two.json -o unnamed --stills --media "the walk.mp4" 2>notes
grep -q "no still for 1 of 2 items: their recording is not named; name it with --media" notes
mkdir bin
PATH="$work/bin" "$program" handouts list.json -o plain --media "the walk.mp4" --stills 2>notes
grep -q 'ffmpeg is not on this machine' notes
test -s plain/painter.html
echo "stills, photographs and links are in their places, also by the recording's own date; without ffmpeg the program says so and goes on"
