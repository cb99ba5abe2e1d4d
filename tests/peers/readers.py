"""How many tags are read, by our reader, zbar and zxing-cpp side by side, on one
core, in process, the picture already in memory. Times are the processor's, so
that other programs do not spoil them.

    cargo build --release -p hosewright-tests --bin frames
    target/peers/bin/python tests/peers/readers.py SEED [EACH] [EMPTY]
    target/peers/bin/python tests/peers/readers.py --pictures FOLDER [--missed]

With a SEED, EACH frames of every condition (default 30) and EMPTY without a tag
(default 60) are written to target/frames/SEED once and read by all. Below the shares
stand the times for QR symbols, and, beside zxing-cpp, those for all kinds of codes in a
frame and those for QR symbols in a film's next frames.

With --pictures, every NAME.png in FOLDER and its folders is read; NAME.txt beside
it says what is written, and without one nothing is. A picture is read if one of
its texts is that text; an EAN-13 that begins with 0 is a UPC-A. Any other text is
a wrong one. --missed lists the pictures that a peer reads and ours does not.
"""

import json
import statistics
import subprocess
import sys
import time
from pathlib import Path

import numpy
import zxingcpp
from PIL import Image
from pyzbar import pyzbar

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ROOT / "target/release/frames"


def ours(folder, truths):
    said = subprocess.run([PROGRAM, "read", folder], capture_output=True, text=True, check=True)
    answers = [json.loads(line) for line in said.stdout.splitlines()]
    return {answer["file"]: (answer["texts"], answer["ms"], answer["all"], answer["next"]) for answer in answers}


def peer(read):
    def all_files(folder, truths):
        answers = {}
        for truth in truths:
            grey = numpy.asarray(Image.open(folder / truth["file"]))
            spent = []
            for _ in range(3):  # the least of three, as for ours
                start = time.thread_time()
                texts = read(grey)
                spent.append((time.thread_time() - start) * 1000)
            answers[truth["file"]] = (texts, min(spent))
        return answers

    return all_files


def zxing(grey):
    formats = zxingcpp.BarcodeFormat.QRCode
    return [found.text for found in zxingcpp.read_barcodes(grey, formats=formats)]


def zbar(grey):
    symbols = [pyzbar.ZBarSymbol.QRCODE]
    return [found.data.decode("utf-8", "replace") for found in pyzbar.decode(grey, symbols=symbols)]


READERS = {"ours": ours, "zxing-cpp": peer(zxing), "zbar": peer(zbar)}
HARDER = {"bent", "askew", "lens", "jpeg", "rolling", "several", "covered", "versions", "sizes"}


def share(truths, answers):
    """Percent of the tags that are read."""
    tags = sum(len(truth["texts"]) for truth in truths)
    read = sum(len(set(truth["texts"]) & set(answers[truth["file"]][0])) for truth in truths)
    return 100 * read / tags if tags else float("nan")


def times(truths, answers):
    spent = sorted(answers[truth["file"]][1] for truth in truths)
    return f"{statistics.median(spent):.1f} / {spent[int(len(spent) * 0.95)]:.1f}" if spent else "-"


def beside(ours, theirs, name):
    """How many times as long as zxing-cpp ours takes."""
    if not ours:
        return

    def figures(spent):
        ordered = sorted(spent)
        return statistics.median(ordered), ordered[int(len(ordered) * 0.95)], statistics.fmean(ordered)

    pairs = list(zip(figures(ours), figures(theirs), strict=True))
    said = [f"{mine:.1f} : {peer:.1f} = {mine / peer:.2f}" for mine, peer in pairs]
    print(f"| {name}: ms median, p95, mean against zxing-cpp | {len(ours)} | " + " | ".join(said) + " |")


FORMATS = [
    zxingcpp.BarcodeFormat.QRCode,
    zxingcpp.BarcodeFormat.DataMatrix,
    zxingcpp.BarcodeFormat.EANUPC,
    zxingcpp.BarcodeFormat.Code39,
    zxingcpp.BarcodeFormat.Code93,
    zxingcpp.BarcodeFormat.Code128,
    zxingcpp.BarcodeFormat.ITF,
    zxingcpp.BarcodeFormat.Codabar,
]


def zxing_all(grey):
    return [found.text for found in zxingcpp.read_barcodes(grey, formats=FORMATS)]


def zbar_all(grey):
    return [found.data.decode("utf-8", "replace") for found in pyzbar.decode(grey)]


def ours_all(folder, truths):
    files = "\n".join(str(folder / truth["file"]) for truth in truths)
    said = subprocess.run([PROGRAM, "pictures"], input=files, capture_output=True, text=True, check=True)
    answers = [json.loads(line) for line in said.stdout.splitlines()]
    return {t["file"]: (a["texts"], a["ms"]) for t, a in zip(truths, answers, strict=True)}


READERS_OF_ALL = {"ours": ours_all, "zxing-cpp": peer(zxing_all), "zbar": peer(zbar_all)}


def same(text):
    """A text by which a UPC-A and its EAN-13 are one, and line ends do not count."""
    text = text.replace("\r\n", "\n").strip()
    return text[1:] if len(text) == 13 and text.isdigit() and text[0] == "0" else text


def written(picture):
    beside = picture.with_suffix(".txt")
    return [beside.read_text(encoding="utf-8", errors="replace")] if beside.exists() else []


def pictures(folder, list_missed):
    files = sorted(folder.rglob("*.png"))
    truths = [{"file": str(f.relative_to(folder)), "texts": written(f)} for f in files]
    answers = {name: read(folder, truths) for name, read in READERS_OF_ALL.items()}

    def texts(reader, truth):
        return {same(text) for text in answers[reader][truth["file"]][0]}

    def expected(truth):
        return {same(text) for text in truth["texts"]}

    def is_read(reader, truth):
        return bool(texts(reader, truth) & expected(truth))

    def row(name, some):
        shares = " | ".join(str(sum(is_read(r, t) for t in some)) for r in READERS_OF_ALL)
        wrong = " / ".join(str(sum(len(texts(r, t) - expected(t)) for t in some)) for r in READERS_OF_ALL)
        spent = " | ".join(times(some, answers[r]) for r in READERS_OF_ALL)
        print(f"| {name} | {len(some)} | {shares} | {wrong} | {spent} |")

    print(
        "| pictures read | pictures | "
        + " | ".join(READERS_OF_ALL)
        + " | wrong texts | "
        + " | ".join(f"ms, {reader}" for reader in READERS_OF_ALL)
        + " |"
    )
    print("| --- | --: |" + " --: |" * (2 * len(READERS_OF_ALL) + 1))
    folders = sorted({Path(truth["file"]).parent for truth in truths})
    for one in folders:
        row(one, [truth for truth in truths if Path(truth["file"]).parent == one])
    row("**all**", truths)
    for truth in truths:
        wrong = texts("ours", truth) - expected(truth)
        if wrong:
            print(f"wrong, ours: {truth['file']} says {sorted(wrong)}, not {sorted(expected(truth))}")
        by = [r for r in READERS_OF_ALL if r != "ours" and is_read(r, truth)]
        if list_missed and truth["texts"] and not is_read("ours", truth):
            print(f"missed: {truth['file']}, read by {' and '.join(by) or 'none'}")


def main():
    if sys.argv[1:2] == ["--pictures"]:
        pictures(Path(sys.argv[2]), "--missed" in sys.argv)
        return
    seed, each, none = (sys.argv[1:] + ["30", "60"])[:3] if len(sys.argv) < 4 else sys.argv[1:4]
    folder = ROOT / "target/frames" / seed
    if not (folder / "truth.jsonl").exists():
        subprocess.run([PROGRAM, "write", seed, each, none, folder], check=True)
    truths = [json.loads(line) for line in (folder / "truth.jsonl").read_text().splitlines()]
    answers = {name: read(folder, truths) for name, read in READERS.items()}
    conditions = list(dict.fromkeys(truth["condition"] for truth in truths))
    plain = [c for c in conditions if c != "none" and c not in HARDER]

    def row(name, chosen):
        some = [truth for truth in truths if truth["condition"] in chosen]
        shares = " | ".join(f"{share(some, answers[reader]):.0f}" for reader in READERS)
        print(f"| {name} | {len(some)} | {shares} |")

    print("| % of tags read | frames | " + " | ".join(READERS) + " |")
    print("| --- | --: |" + " --: |" * len(READERS))
    for condition in plain:
        row(condition, {condition})
    row("**all of these**", set(plain))
    for condition in sorted(HARDER & set(conditions)):
        row(condition, {condition})
    row("**all harder**", HARDER)
    with_tag = [truth for truth in truths if truth["condition"] in plain]
    without = [truth for truth in truths if truth["condition"] == "none"]
    for name, some in [("ms with a tag, median / p95", with_tag), ("ms without", without)]:
        print(f"| {name} | {len(some)} | " + " | ".join(times(some, answers[r]) for r in READERS) + " |")
    all_kinds = peer(zxing_all)(folder, truths)
    harder = [truth for truth in truths if truth["condition"] in HARDER]
    for name, some in [("with a tag", with_tag), ("with a tag, harder", harder), ("without", without)]:
        theirs = [all_kinds[truth["file"]][1] for truth in some]
        for at, what in [(2, "a frame, all kinds of codes"), (3, "a film's next frames")]:
            beside([answers["ours"][truth["file"]][at] for truth in some], theirs, f"{what}, {name}")
    for reader in READERS:
        wrong = [
            (truth["file"], text)
            for truth in truths
            for text in answers[reader][truth["file"]][0]
            if text not in truth["texts"]
        ]
        print(f"false reads, {reader}: {len(wrong)} {wrong[:5]}")


if __name__ == "__main__":
    main()
