"""Clips for `late-words.ts`: python3 late_clips.py FOLDER OUT

Reads the packs late-*.pack that make.sh speaks and the people's packs of people.py in FOLDER; writes OUT.pcm (16 bit, mono,
16 kHz, one after the other) and OUT.json (pack, words, first sample, samples). The people to choose by stay out.
"""

import glob
import json
import sys

import numpy as np

import pack

RATE = 16000
LONGEST_S = 6


def main():
    folder, out = sys.argv[1:]
    listed, at = [], 0
    with open(f"{out}.pcm", "wb") as f:
        for path in [*sorted(glob.glob(f"{folder}/late-*.pack")), *(f"{folder}/{k}.pack" for k in ("phone", "digits", "words", "strangers"))]:
            for i, (meta, sound) in enumerate(pack.read(path)):
                # Of the single digits of two men every third will do.
                if meta.get("choose") or len(sound) > LONGEST_S * RATE or (path.endswith("/digits.pack") and i % 3):
                    continue
                f.write((np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes())
                listed.append(dict(pack=path.split("/")[-1][:-5], words=meta["words"], at=at, samples=len(sound)))
                at += len(sound)
    with open(f"{out}.json", "w") as f:
        json.dump(listed, f)
    print(f"{len(listed)} clips, {at / RATE / 60:.0f} min")


if __name__ == "__main__":
    main()
