"""The calls of people to choose by, as sounds for the bench: python3 choose_clips.py FOLDER OUT [--learnt]

Reads phone.pack, words.pack and strangers.pack of `people.py` in FOLDER; writes OUT/NUMBER.wav (mono, 16 kHz) and
OUT/list.json (kind, person, words). `CALLS=OUT npm run bench -- people` judges by them. Of clips longer than 5 s the
ear would hear more than one call, so they stay out. `--learnt`: those of the people whom the weights learnt from, instead
(for judging what learning a caller does).
"""

import json
import os
import sys
import wave

import numpy as np

import pack

RATE = 16000


def main():
    folder, out, *options = sys.argv[1:]
    os.makedirs(out, exist_ok=True)
    listed = []
    for kind in ("phone", "words", "strangers"):
        for meta, sound in pack.read(f"{folder}/{kind}.pack"):
            if bool(meta.get("choose")) == ("--learnt" in options) or len(sound) >= 5 * RATE:
                continue
            with wave.open(f"{out}/{len(listed)}.wav", "wb") as f:
                f.setnchannels(1)
                f.setsampwidth(2)
                f.setframerate(RATE)
                f.writeframes((np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes())
            listed.append(dict(kind=kind, person=meta["person"], words=meta["words"]))
    with open(f"{out}/list.json", "w") as f:
        json.dump(listed, f)


if __name__ == "__main__":
    main()
