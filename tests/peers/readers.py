"""How many tags are read in frames made from a seed: ours, zbar and zxing-cpp
side by side, one core, in process, the frame already in memory. Times are the
processor's, so that other programs do not spoil them.

    cargo build --release -p hosewright-tests --bin frames
    target/peers/bin/python tests/peers/readers.py SEED [EACH] [EMPTY]

EACH frames of every condition (default 30) and EMPTY without a tag (default
60) are written to target/frames/SEED once and read by all.
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
    return {answer["file"]: (answer["texts"], answer["ms"]) for answer in answers}


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


def main():
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
