#!/usr/bin/env python3
"""Pages in Chromium at a phone's width, and printed.

Usage: narrow.py FOLDER   every *.html below it. Needs chromium.

At 390 px no page may be wider than the screen or hold a script, and no item's number or trade's name may break. Each page in English
must print to a PDF, on A4 and on Letter, whichever lies in the printer.
"""
import html, json, pathlib, re, subprocess, sys, tempfile

WIDTH = 390
PAPERS = {"A4": (b"594", b"841"), "Letter": (b"612", b"792")}
# Printed on both papers; the others, which have the same rules, on the first.
BOTH = ["summary.html", "painter.html", "superintendent.html", "owner.html"]
PROBE = """
<script>
addEventListener("load", () => {
  const out = {};
  for (const frame of document.querySelectorAll("iframe")) {
    const page = frame.contentDocument, faults = [];
    if (page.documentElement.scrollWidth > frame.clientWidth) faults.push(`is ${page.documentElement.scrollWidth} px wide`);
    if (page.querySelector("script")) faults.push("holds a script");
    const lines = e => { const r = page.createRange(); r.selectNodeContents(e); return new Set([...r.getClientRects()].map(b => Math.round(b.top))).size; };
    for (const e of page.querySelectorAll(".no, td:first-child > a")) {
      if (!e.textContent.includes(" ") && lines(e) > 1) faults.push(`breaks ${e.textContent}`);
    }
    out[frame.dataset.name] = [page.body.innerText.length, faults];
  }
  const told = document.createElement("pre");
  told.id = "told";
  told.textContent = JSON.stringify(out);
  document.body.append(told);
});
</script>
"""


def chromium(folder, *arguments):
    command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
               "--allow-file-access-from-files", f"--user-data-dir={folder}/profile", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=True, timeout=300).stdout


root = pathlib.Path(sys.argv[1]).resolve()
pages = sorted(root.rglob("*.html"))
assert pages, f"no pages below {root}"
with tempfile.TemporaryDirectory() as work:
    frames = "".join(f'<iframe data-name="{html.escape(str(p))}" src="{p.as_uri()}" style="width:{WIDTH}px;height:900px;border:0"></iframe>'
                     for p in pages)
    probe = pathlib.Path(work, "probe.html")
    probe.write_text(f"<!doctype html><body>{PROBE}{frames}", encoding="utf-8")
    dom = chromium(work, "--dump-dom", "--virtual-time-budget=20000", probe.as_uri())
    told = re.search(r'<pre id="told">(.*?)</pre>', dom, re.S)
    assert told, "the probe told nothing"
    told = json.loads(html.unescape(told[1]))
    wrong = [f"{name}: {fault}" for name, (length, faults) in told.items() for fault in faults + ["is empty"] * (length == 0)]
    assert len(told) == len(pages) and not wrong, "\n".join(wrong)
    pdf = pathlib.Path(work, "page.pdf")
    # Another language's pages are laid out by the same rules.
    printed = [p for p in pages if not p.parent.name.endswith("-es")]
    for page in printed:
        # The page itself names no paper; here one is put in, as a printer does.
        for n, (paper, size) in enumerate(PAPERS.items()):
            if n > 0 and page.name not in BOTH:
                continue
            text = page.read_text(encoding="utf-8")
            assert not re.search(r"@page[^}]*size:", text), f"{page} asks for a paper"
            sized = pathlib.Path(work, "sized.html")
            sized.write_text(text.replace("</style>", f"@page{{size:{paper}}}</style>", 1), encoding="utf-8")
            pdf.unlink(missing_ok=True)
            chromium(work, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", sized.as_uri())
            # A summary is one page, also of 200 items in 17 places.
            sheets = len(re.findall(rb"/Type /Page\b", pdf.read_bytes()))
            assert page.name != "summary.html" or sheets == 1, f"{page} takes {sheets} sheets of {paper}"
            boxes = set(re.findall(rb"/MediaBox \[0 0 (\d+)[.\d]* (\d+)", pdf.read_bytes()))
            assert boxes == {size}, f"{page} does not print on {paper}: {boxes}"
print(f"{len(pages)} pages fit {WIDTH} px, {len(printed)} print, on {' and '.join(PAPERS)}")
