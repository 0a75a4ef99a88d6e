"""Makes the sound: python3 synthesise.py --engine NAME --count N --seed S --out FILE [--grammar-only]

Sentences of sentences.py spoken by the voices of voices.py, silence trimmed, one pack a call. Deterministic for a seed
and the versions of the packages (see MODEL-CARD.md).
"""

import argparse
import random
import sys
import time

import numpy as np

import pack
import sentences
import voices


def trimmed(sound):
    """Cuts silence off both ends, by 10 ms energies 45 dB under the loudest."""
    n = len(sound) // 160
    if n < 5:
        return sound[:0]
    energy = (sound[: n * 160].reshape(n, 160) ** 2).mean(1)
    loud = np.nonzero(energy > energy.max() * 10**-4.5)[0]
    return sound[max(0, loud[0] * 160 - 160) : (loud[-1] + 2) * 160]


def main():
    a = argparse.ArgumentParser()
    a.add_argument("--engine", required=True, choices=list(voices.ENGINES))
    a.add_argument("--count", type=int, required=True)
    a.add_argument("--seed", type=int, required=True)
    a.add_argument("--out", required=True)
    a.add_argument("--bitrate", type=int, default=16000)
    a.add_argument("--kind", default="mix", choices=["mix", "grammar", "other", "digits", "numbers", "weak"])
    a = a.parse_args()
    rng = random.Random(a.seed)
    jobs = []
    make = dict(
        mix=sentences.sentence,
        grammar=lambda r: [(w, sentences.spell(w, r) if r.random() < 0.3 or w == "millilitres" else w) for w in sentences.in_grammar(r)],
        other=lambda r: sentences.out_of_grammar(r),
        digits=sentences.digit_run,
        numbers=sentences.number_talk,
        weak=sentences.weak,
    )[a.kind]
    while len(jobs) < a.count:
        pairs = make(rng)
        text = sentences.text_of(pairs, rng)
        jobs.append(dict(text=text, said=[label for label, _ in pairs], seed=rng.randrange(1 << 30)))
    phones = []
    texts = [j["text"] for j in jobs]
    for i in range(0, len(texts), 2000):
        phones += voices.arpa_phones(texts[i : i + 2000])
    for job, p in zip(jobs, phones):
        job["phones"] = p
    writer, began, seconds, bad = pack.Writer(a.bitrate), time.time(), 0.0, 0
    for job, sound in voices.ENGINES[a.engine](jobs):
        sound = trimmed(sound)
        peak = np.abs(sound).max() if len(sound) else 0
        if len(sound) < 2400 or len(sound) > 96000 or not peak > 0.01:
            bad += 1
            continue
        sound = sound * (0.5 / peak)
        seconds += len(sound) / voices.RATE
        writer.add(sound, dict(
            engine=a.engine, voice=job["voice"], text=job["text"], words=job["said"],
            phones=" ".join(n for n, _ in job["phones"]),
        ))
    writer.save(a.out)
    print(
        f"{a.engine}: {len(writer.clips)} clips, {seconds / 3600:.2f} h, {writer.size / 1e6:.1f} MB, {bad} dropped, "
        f"{time.time() - began:.0f} s", file=sys.stderr,
    )


if __name__ == "__main__":
    main()
