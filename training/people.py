"""Packs of people's recordings: python3 people.py --data ../../shared/data/people --out FOLDER

Reads the folder that its own README describes, and Debian's telephone announcements where they are installed
(asterisk-core-sounds-en-wav, CC BY-SA 3.0). Words are found by a general aligner (pocketsphinx with its American model,
BSD-2-Clause) among all ways of saying the prompt; recordings in which no way fits are dropped. Writes

  phone.pack      digits of telephone and house numbers, alone and in a row; whole addresses
  digits.pack     single digits at 8 kHz
  words.pack      numbers cut from read sentences, and announced numbers
  strangers.pack  stretches of read sentences and announcements: speech that is not ours

Every clip names its person. Who is left out of all training and of all choices is fixed here by a hash of the person's
name, before anything was heard or tried: `OUT`.
"""

import argparse
import glob
import hashlib
import json
import os
import random
import re
import subprocess
import tempfile

import numpy as np

import many_people
import pack
import sentences
import voices
from synthesise import trimmed

RATE = voices.RATE
LEFT_OUT = {"digits-by-phone": 10, "read-sentences": 4, "fsdd": 1}
# The next by the same order: not learnt from, but choices are made and probabilities calibrated by them.
TO_CHOOSE = {"digits-by-phone": 6, "read-sentences": 2, "fsdd": 0}
MODEL = os.environ.get("POCKETSPHINX", "/usr/share/pocketsphinx") + "/model/en-us"
ANNOUNCED = next(iter(glob.glob("/usr/share/asterisk/sounds/en_US_f_*")), "")


def by_hash(folder, people):
    """The people of a folder in an order that nobody chose."""
    return sorted(people, key=lambda p: hashlib.sha256(f"{folder}/{p}".encode()).hexdigest())


def manifest(data, folder):
    with open(f"{data}/{folder}/manifest.json") as f:
        return json.load(f)


def people_of(data, folder):
    if folder == "fsdd":  # files are named DIGIT_SPEAKER_TAKE
        return sorted({os.path.basename(p).split("_")[1] for p in glob.glob(f"{data}/fsdd/*.wav")})
    return sorted({m["person"] for m in manifest(data, folder)})


def left_out(data, folder):
    return by_hash(folder, people_of(data, folder))[: LEFT_OUT[folder]]


def to_choose(data, folder):
    return by_hash(folder, people_of(data, folder))[LEFT_OUT[folder] : LEFT_OUT[folder] + TO_CHOOSE[folder]]


def sound_of(path):
    """Mono float32 at RATE, by ffmpeg."""
    raw = subprocess.run(["ffmpeg", "-v", "error", "-i", path, "-f", "f32le", "-ac", "1", "-ar", str(RATE), "-"], check=True, capture_output=True).stdout
    return np.frombuffer(raw, np.float32)


# ---- how a prompt may be said --------------------------------------------------------------------------------------


def names_of(digit):
    return [["zero"], ["oh"]] if digit == "0" else [[sentences.UNITS[int(digit)]]]


def numeral(text, at, to, node):
    """Arcs (from, to, words) for a row of digits between nodes at and to; `node()` makes a fresh one."""
    stops = [at, *(node() for _ in text[1:]), to]
    arcs = []
    for i in range(len(text)):
        for name in names_of(text[i]):
            arcs.append((stops[i], stops[i + 1], name))
            for times, word in ((2, "double"), (3, "triple")):
                if text[i : i + times] == text[i] * times:
                    arcs.append((stops[i], stops[i + times], [word, *name]))
        # "twenty one", "fifteen", "three hundred and five" inside the row
        if len(text) <= 6:
            for length in (2, 3):
                part = text[i : i + length]
                if len(part) == length and part[0] != "0":
                    for words in cardinals(int(part)):
                        arcs.append((stops[i], stops[i + length], words))
    return arcs


def cardinals(n):
    if n < 20:
        return [[(sentences.UNITS + sentences.TEENS)[n]]]
    if n < 100:
        return [[sentences.TENS[n // 10 - 2]] + ([sentences.UNITS[n % 10]] if n % 10 else [])]
    head = [sentences.UNITS[n // 100], "hundred"]
    return [head] if n % 100 == 0 else [head + joint + rest for rest in cardinals(n % 100) for joint in ([], ["and"])]


def arcs_of(text):
    """(arcs, last node) of a prompt: words as they are, numerals in every usual way."""
    count = [0]

    def node():
        count[0] += 1
        return count[0]

    at, arcs = 0, []
    for token in re.findall(r"[a-z']+|\d+", text.lower()):
        to = node()
        if token.isdigit():
            arcs += numeral(token, at, to, node)
        else:
            arcs.append((at, to, [token]))
        at = to
    return arcs, at, count


# ---- alignment ------------------------------------------------------------------------------------------------------


def align(jobs):
    """
    For each (name, sound, text): [(word, start s, end s, log likelihood a frame)] of the best way to say it, or None.
    """
    with tempfile.TemporaryDirectory() as folder:
        known = set()
        with open(MODEL + "/cmudict-en-us.dict") as f:
            lines = f.read().splitlines()
        known = {line.split()[0] for line in lines}
        graphs = [arcs_of(text) for _, _, text in jobs]
        unknown = sorted({w for arcs, _, _ in graphs for _, _, words in arcs for w in words} - known)
        for word, phones in zip(unknown, voices.arpa_phones(unknown) if unknown else []):
            spelled = [p for n, _ in phones if n != "pau" for p in many_people.PHONES[n].split()]
            lines.append(word + " " + " ".join(spelled or ["SIL"]))
        with open(folder + "/dict", "w") as f:
            f.write("\n".join(lines) + "\n")
        with open(folder + "/ctl", "w") as ctl, open(folder + "/fsgctl", "w") as fsgctl:
            for i, ((_, sound, _), (arcs, last, count)) in enumerate(zip(jobs, graphs)):
                (np.clip(sound, -1, 1) * 32767).astype("<i2").tofile(f"{folder}/{i}.raw")
                ctl.write(f"{i}\n")
                fsgctl.write(f"{i}\n")
                made = []
                for a, b, words in arcs:
                    for k, word in enumerate(words):
                        after = b if k + 1 == len(words) else count.__setitem__(0, count[0] + 1) or count[0]
                        made.append(f"TRANSITION {a} {after} 1.0 {word}")
                        a = after
                with open(f"{folder}/{i}.fsg", "w") as f:
                    f.write(f"FSG_BEGIN {i}\nNUM_STATES {count[0] + 1}\nSTART_STATE 0\nFINAL_STATE {last}\n" + "\n".join(made) + "\nFSG_END\n")
        subprocess.run(
            ["pocketsphinx_batch", "-hmm", MODEL + "/en-us", "-dict", folder + "/dict", "-adcin", "yes", "-cepdir", folder, "-cepext", ".raw",
             "-ctl", folder + "/ctl", "-fsgctl", folder + "/fsgctl", "-fsgdir", folder, "-fsgext", ".fsg", "-hypseg", folder + "/seg", "-cmn", "batch",
             "-remove_silence", "no", "-remove_noise", "no", "-beam", "1e-120", "-wbeam", "1e-100", "-pbeam", "1e-120", "-lw", "1",
             "-wip", "1", "-silprob", "0.1", "-fillprob", "1e-6", "-logfn", folder + "/log"], check=True,
        )
        found = {}
        with open(folder + "/seg") as f:
            for line in f:
                parts = line.split()
                number, rest = int(parts[0]), parts[parts.index("L") + 2 :]
                words = []
                for k in range(0, len(rest) - 1, 4):
                    start, score, _, word = rest[k : k + 4]
                    end = int(rest[k + 4])
                    if not word.startswith("<") and not word.startswith("["):
                        word = re.sub(r"\(\d+\)$", "", word)
                        words.append((word, int(start) / 100, end / 100, int(score) / max(1, end - int(start))))
                if words:
                    found[number] = words
        return [found.get(i) for i in range(len(jobs))]


# ---- cutting --------------------------------------------------------------------------------------------------------


def quiet_near(sound, at, before, after):
    """The quietest 20 ms between at - before and at + after (s), for cutting there."""
    a, b = max(0, int((at - before) * RATE)), min(len(sound), int((at + after) * RATE))
    if b - a < 640:
        return min(len(sound), max(0, int(at * RATE)))
    energy = np.convolve(sound[a:b] ** 2, np.ones(320), "valid")[::80]
    return a + int(np.argmin(energy)) * 80 + 160


def cut(sound, words, first, last, after_gap):
    """Sound of words first..last of an alignment, cut where it is quietest near their edges."""
    start, end = words[first][1], words[last][2]
    before = min(0.12, start - words[first - 1][2] + 0.02) if first else 0.15
    after = min(0.15, words[last + 1][1] - end + 0.02) if last + 1 < len(words) else after_gap
    return sound[quiet_near(sound, start, max(0.02, before), 0.02) : quiet_near(sound, end, 0.02, max(0.02, after))]


NUMBER = set(sentences.NUMBER_WORDS + sentences.REPEATS) - {"a", "and", "half", "point", "decimal"}


def labelled(words):
    """A stretch of speech as labels: our number and command words keep theirs, all else is GARBAGE, merged."""
    little = "a and of that was next run end start by go again say read point half no".split() + sentences.PLAIN_WORDS
    keep = set(sentences.LABELS[2:]) - set(little)
    return [label for label, _ in sentences.merge_garbage([(w if w in keep else sentences.GARBAGE, w) for w in words])]


class Packs:
    """Clips of all kinds, with their phones added at the end."""

    def __init__(self):
        self.clips = {}

    def add(self, kind, sound, words, text, person, folder, take=""):
        sound = trimmed(np.asarray(sound))
        peak = np.abs(sound).max() if len(sound) else 0
        if len(sound) < 2400 or not peak > 0.002:
            return
        self.clips.setdefault(kind, []).append((sound * (0.5 / peak), dict(
            engine="people", voice=f"{folder}/{person}", person=person, folder=folder, kind=kind, words=words, text=text, take=take,
        )))

    def save(self, out, bitrate):
        for kind, clips in self.clips.items():
            writer = pack.Writer(bitrate)
            phones = []
            texts = [m["text"] for _, m in clips]
            for i in range(0, len(texts), 2000):
                phones += voices.arpa_phones(texts[i : i + 2000])
            for (sound, meta), said in zip(clips, phones):
                writer.add(sound, dict(meta, phones=" ".join(n for n, _ in said)))
            writer.save(f"{out}/{kind}.pack")
            seconds = sum(len(s) for s, _ in clips) / RATE
            print(f"{kind}: {len(clips)} clips, {len({m['voice'] for _, m in clips})} people, {seconds / 60:.1f} min, {writer.size / 1e6:.1f} MB", flush=True)


def phone(data, packs, out, worst):
    entries = [m for m in manifest(data, "digits-by-phone") if m["person"] not in out]
    jobs = [(m["file"], sound_of(f"{data}/digits-by-phone/{m['file']}"), m["text"]) for m in entries]
    rng = random.Random(5)
    for meta, (name, sound, text), words in zip(entries, jobs, align(jobs)):
        fit = np.mean([s for *_, s in words]) if words else -9e9
        said = " ".join(w for w, *_ in words) if words else "nothing"
        print(f"{name} {fit:.0f} {text} -> {said}", flush=True)
        if fit < worst:
            continue
        who, where = meta["person"], "digits-by-phone"
        if words[-1][2] - words[0][1] < 9:
            packs.add("phone", sound[int(max(0, words[0][1] - 0.2) * RATE) : int((words[-1][2] + 0.25) * RATE)], labelled([w for w, *_ in words]), said, who, where)
        # Every number word alone, and rows of two to five.
        i = 0
        while i < len(words):
            if words[i][0] not in NUMBER:
                i += 1
                continue
            j = i
            while j + 1 < len(words) and words[j + 1][0] in NUMBER:
                j += 1
            for a in range(i, j + 1):
                for length in (1, rng.choice([2, 2, 3]), rng.choice([3, 4, 5])):
                    b = a + length - 1
                    if b > j or words[b][0] in ("double", "triple") or (a > i and words[a - 1][0] in ("double", "triple")):
                        continue
                    # Words that run into each other are not parted.
                    if (a > 0 and words[a][1] - words[a - 1][2] < 0.03) or (b + 1 < len(words) and words[b + 1][1] - words[b][2] < 0.03):
                        if length == 1 and rng.random() < 0.7:
                            continue
                    part = [w for w, *_ in words[a : b + 1]]
                    packs.add("phone", cut(sound, words, a, b, 0.25), part, " ".join(part), who, where)
            i = j + 1


def fsdd(data, packs, out):
    for name in sorted(os.listdir(f"{data}/fsdd")):
        digit, person, take = name[:-4].split("_")
        if person in out:
            continue
        word = sentences.UNITS[int(digit)]
        packs.add("digits", voices.read_wav(f"{data}/fsdd/{name}"), [word], word, person, "fsdd", take)


def read_sentences(data, packs, out, worst):
    entries = [m for m in manifest(data, "read-sentences") if m["person"] not in out]
    jobs = [(m["file"], sound_of(f"{data}/read-sentences/{m['file']}"), m["text"]) for m in entries]
    rng = random.Random(6)
    for meta, (_, sound, _), words in zip(entries, jobs, align(jobs)):
        if not words:
            continue
        who, where = meta["person"], "read-sentences"
        i = 0
        while i < len(words):
            if words[i][0] not in NUMBER:
                i += 1
                continue
            j = i
            while j + 1 < len(words) and (words[j + 1][0] in NUMBER or (words[j + 1][0] == "and" and words[j][0] == "hundred" and j + 2 < len(words) and words[j + 2][0] in NUMBER)):
                j += 1
            fit = min(s for *_, s in words[i : j + 1])
            part = [w for w, *_ in words[i : j + 1]]
            # A word of two sounds cut out of fluent speech ("a", "one" in "someone") may be anything.
            if fit > worst and words[j][2] - words[i][1] > 0.2:
                packs.add("words", cut(sound, words, i, j, 0.2), part, " ".join(part), who, where)
            i = j + 1
        at = 0
        while at < len(words):
            length = rng.choice([1, 1, 1, 2, 3, 4, 6, 8, 10, 12, 14])
            part = words[at : at + length]
            if part[-1][2] - part[0][1] < 5 and (length > 1 or len(part[0][0]) > 3):
                said = [w for w, *_ in part]
                labels = labelled(said)
                # One of our numbers among others by itself belongs to the words.
                if sentences.GARBAGE in labels:
                    packs.add("strangers", cut(sound, words, at, at + len(part) - 1, 0.2), labels, " ".join(said), who, where)
            at += length


def announcements(packs):
    """The numbers of the telephone announcements; their other sentences, whose words are not listed, as strangers'."""
    if not os.path.isdir(ANNOUNCED):
        print("announcements: not installed, left out")
        return
    numbers = {**{str(n): cardinals(n)[0] for n in [*range(20), *range(20, 100, 10)]}, "hundred": ["hundred"], "and": ["and"], "oh": ["oh"], "double": ["double"], "triple": ["triple"], "point": ["point"]}
    for base, _, files in os.walk(ANNOUNCED):
        for name in sorted(files):
            path, stem = os.path.join(base, name), name[:-4]
            sound = voices.read_wav(path)
            if not name.endswith(".wav") or len(sound) > 5 * RATE:
                continue
            if base.endswith("digits") and stem in numbers:
                packs.add("words", sound, numbers[stem], " ".join(numbers[stem]), "announcer", "asterisk")
            elif not base.endswith(("digits", "silence", "letters", "phonetic")) and not re.search(r"\d|beep|ring|tone|tt-|one|two|three|minutes|seconds", stem):
                packs.add("strangers", sound, [sentences.GARBAGE], stem.replace("-", " "), "announcer", "asterisk")


def main():
    a = argparse.ArgumentParser()
    a.add_argument("--data", required=True)
    a.add_argument("--out", required=True)
    a.add_argument("--bitrate", type=int, default=24000)
    a.add_argument("--worst", type=float, default=-40, help="log likelihood of a frame under which an alignment is dropped")
    a = a.parse_args()
    os.makedirs(a.out, exist_ok=True)
    out = {folder: left_out(a.data, folder) for folder in LEFT_OUT}
    print("left out of all:", out)
    packs = Packs()
    phone(a.data, packs, out["digits-by-phone"], a.worst)
    fsdd(a.data, packs, out["fsdd"])
    read_sentences(a.data, packs, out["read-sentences"], a.worst)
    announcements(packs)
    for clips in packs.clips.values():
        for _, meta in clips:
            meta["choose"] = meta["folder"] in TO_CHOOSE and meta["person"] in to_choose(a.data, meta["folder"])
    packs.save(a.out, a.bitrate)


if __name__ == "__main__":
    main()
