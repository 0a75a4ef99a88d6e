"""The synthesisers, each as a function from jobs to sound. Nothing here is stored in the repository.

A job is a dict: text, phones (ARPAbet with durations, from festival's own front end), voice, and the random settings
drawn for it. Every function yields (job, float32 mono sound at RATE).
"""

import collections
import ctypes
import json
import os
import random
import subprocess
import tempfile
import wave

import numpy as np
from scipy.signal import resample_poly

import accents
import gnuspeech as throats
import many_people
import sentences

RATE = 16000


def read_wav(path):
    with wave.open(path) as w:
        data = np.frombuffer(w.readframes(w.getnframes()), dtype="<i2").astype(np.float32) / 32768
        if w.getnchannels() > 1:
            data = data.reshape(-1, w.getnchannels()).mean(1)
        return to_rate(data, w.getframerate())


def to_rate(data, rate):
    if rate == RATE:
        return data
    g = np.gcd(RATE, rate)
    return resample_poly(data, RATE // g, rate // g).astype(np.float32)


# ---- espeak-ng (GPL-3+, a formant synthesiser; also its Klatt voices) --------------------------------------------

ESPEAK_ACCENTS = [
    "gmw/en", "gmw/en-US", "gmw/en-GB-scotland", "gmw/en-GB-x-gbclan", "gmw/en-GB-x-rp", "gmw/en-GB-x-gbcwmd",
    "gmw/en-029", "gmw/en-US-nyc",
]
ESPEAK_VARIANTS = (
    "adam Alex Alicia Andrea Andy Annie antonio aunty belinda benjamin boris caleb david Denis Diogo ed edward edward2 "
    "Gene Gene2 gustave Henrique Hugo iven iven2 iven3 iven4 Jacky john kaukovalta Lee linda Marcelo Marco Mario max "
    "Michael michel miguel mike Nguyen norbert pablo paul pedro quincy rob robert sandro shelby steph steph2 steph3 "
    "travis victor zac anika f1 f2 f3 f4 f5 grandma grandpa klatt klatt2 klatt3 klatt4 klatt5 klatt6 m1 m2 m3 m4 m5 m6 "
    "m7 m8"
).split()


def espeak(jobs):
    lib = ctypes.CDLL("libespeak-ng.so.1")
    rate = lib.espeak_Initialize(2, 500, None, 0)  # 2: synchronous retrieval
    chunks = []
    proto = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)

    def collect(samples, count, _events):
        if samples and count > 0:
            chunks.append(np.ctypeslib.as_array(samples, (count,)).copy())
        return 0

    callback = proto(collect)
    lib.espeak_SetSynthCallback(callback)
    for job in jobs:
        rng = random.Random(job["seed"])
        name = job.get("language") or rng.choice(ESPEAK_ACCENTS)
        variant = rng.choice(ESPEAK_VARIANTS)
        job["voice"] = f"espeak-ng/{name}+{variant}"
        if lib.espeak_SetVoiceByName(f"{name}+{variant}".encode()) != 0:
            raise RuntimeError(job["voice"])
        lib.espeak_SetParameter(1, rng.randrange(105, 235), 0)  # words a minute
        lib.espeak_SetParameter(3, rng.randrange(15, 90), 0)  # pitch
        lib.espeak_SetParameter(4, rng.randrange(20, 85), 0)  # pitch range
        lib.espeak_SetParameter(7, rng.choice([0, 0, 0, 0, 1, 3, 6]), 0)  # gap between words, 10 ms
        chunks.clear()
        text = job.get("spoken", job["text"]).encode() + b"\0"
        lib.espeak_Synth(text, len(text), 0, 0, 0, 1 | 0x100 | (0x10 if job.get("ssml") else 0), None, None)
        if chunks:
            yield job, to_rate(np.concatenate(chunks).astype(np.float32) / 32768, rate)


# ---- SVOX Pico (Apache-2.0) ---------------------------------------------------------------------------------------


def pico(jobs):
    path = tempfile.mktemp(suffix=".wav")
    for job in jobs:
        rng = random.Random(job["seed"])
        lang = rng.choice(["en-GB", "en-US"])
        job["voice"] = f"pico/{lang}"
        text = f'<pitch level="{rng.randrange(75, 125)}"><speed level="{rng.randrange(75, 150)}">{job["text"]}</speed></pitch>'
        subprocess.run(["pico2wave", "-l", lang, "-w", path, text], check=True, stderr=subprocess.DEVNULL)
        yield job, read_wav(path)
    os.unlink(path)


# ---- RHVoice (LGPL-2.1+; only voices under that licence, not the non-commercial ones) ------------------------------

RHVOICES = ["alan", "bdl", "clb", "slt"]


def rhvoice(jobs):
    path = tempfile.mktemp(suffix=".wav")
    for job in jobs:
        rng = random.Random(job["seed"])
        voice = rng.choice(RHVOICES)
        job["voice"] = f"rhvoice/{voice}"
        r, p = rng.randrange(75, 150), rng.randrange(80, 125)
        subprocess.run(
            ["RHVoice-test", "-p", voice, "-r", str(r), "-t", str(p), "-o", path],
            input=job["text"].encode(), check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        yield job, read_wav(path)
    os.unlink(path)


# ---- festival -----------------------------------------------------------------------------------------------------

FESTIVAL_TEXT_VOICES = ["kal_diphone", "ked_diphone", "cmu_us_slt_arctic_hts"]


def run_festival(script, folder):
    path = os.path.join(folder, "script.scm")
    with open(path, "w") as f:
        f.write(script)
    subprocess.run(["festival", "-b", path], check=True, stdout=subprocess.DEVNULL, stderr=None if os.environ.get("LOUD") else subprocess.DEVNULL)


def quoted(text):
    return '"' + text.replace('"', "") + '"'


def arpa_phones(texts):
    """[(phone, seconds), ...] for each text by festival's American front end (CMU lexicon, CART durations)."""
    with tempfile.TemporaryDirectory() as folder:
        lines = ["(voice_kal_diphone)", '(set! out (fopen "%s/out" "w"))' % folder]
        lines.append(
            "(define (segs text) (let ((u (eval (list 'Utterance 'Text text)))) (Initialize u) (Text u) (Token_POS u) "
            "(Token u) (POS u) (Phrasify u) (Word u) (Pauses u) (Intonation u) (PostLex u) (Duration u) "
            "(mapcar (lambda (s) (format out \"%s %s \" (item.name s) (item.feat s 'end))) "
            "(utt.relation.items u 'Segment)) (format out \"\\n\")))"
        )
        lines += [f"(segs {quoted(t)})" for t in texts]
        lines.append("(fclose out)")
        run_festival("\n".join(lines), folder)
        result = []
        with open(folder + "/out") as f:
            for line in f:
                parts = line.split()
                start, phones = 0.0, []
                for name, end in zip(parts[0::2], parts[1::2]):
                    phones.append((name, float(end) - start))
                    start = float(end)
                result.append(phones)
        assert len(result) == len(texts), (len(result), len(texts))
        return result


def festival_text(jobs, batch=200):
    """festival with its own English voices (X11-style licence of Edinburgh and Carnegie Mellon)."""
    jobs = list(jobs)
    for voice in FESTIVAL_TEXT_VOICES:
        mine = [j for i, j in enumerate(jobs) if i % len(FESTIVAL_TEXT_VOICES) == FESTIVAL_TEXT_VOICES.index(voice)]
        for at in range(0, len(mine), batch):
            part = mine[at : at + batch]
            with tempfile.TemporaryDirectory() as folder:
                lines = [f"(voice_{voice})"]
                for i, job in enumerate(part):
                    rng = random.Random(job["seed"])
                    job["voice"] = f"festival/{voice}"
                    if voice != "cmu_us_slt_arctic_hts":
                        lines.append(f"(Parameter.set 'Duration_Stretch {rng.uniform(0.75, 1.35):.3f})")
                        lines.append(
                            "(set! int_lr_params '((target_f0_mean %d) (target_f0_std %d) (model_f0_mean 170) (model_f0_std 34)))"
                            % (rng.randrange(80, 150), rng.randrange(8, 26))
                        )
                    lines.append(
                        f"(utt.save.wave (utt.synth (eval (list 'Utterance 'Text {quoted(job['text'])}))) \"{folder}/{i}.wav\" 'riff)"
                    )
                run_festival("\n".join(lines), folder)
                for i, job in enumerate(part):
                    yield job, read_wav(f"{folder}/{i}.wav")


# Diphone voices of other languages, and two British ones whose own dictionary is not free: they are given phones, not
# text, so English comes out with that language's sounds. The British dictionary is not used.

ITALIAN = dict(
    aa="a", ae="E", ah="a", ao="O", aw="a u", ax="e", axr="e r", ay="a i", eh="E", er="E r", ey="e i", ih="i", iy="i",
    ow="o u", oy="O i", uh="u", uw="u", b="b", ch="tS", d="d", dh="d", dx="d", el="o l", em="e m", en="e n", f="f",
    g="g", hh="", hv="", jh="dZ", k="k", l="l", m="m", n="n", nx="n", ng="ng g", p="p", r="r", s="s", sh="S", t="t",
    th="t", v="v", w="w", y="j", z="z", zh="Z", pau="#",
)
CZECH = dict(
    aa="a:", ae="e", ah="a", ao="o:", aw="a u", ax="e", axr="e r", ay="a j", eh="e", er="e r", ey="e j", ih="i",
    iy="i:", ow="o u", oy="o j", uh="u", uw="u:", b="b", ch="c~", d="d", dh="d", dx="t", el="e l", em="e m", en="e n",
    f="f", g="g", hh="h", hv="h", jh="d z~", k="k", l="l", m="m", n="n", nx="n", ng="n* k", p="p", r="r", s="s",
    sh="s~", t="t", th="s", v="v", w="v", y="j", z="z", zh="z~", pau="#",
)
FINNISH = dict(
    aa="a:", ae="&", ah="a", ao="o:", aw="a u", ax="e", axr="e r", ay="a i", eh="e", er="7 r", ey="e i", ih="i",
    iy="i:", ow="o u", oy="o i", uh="u", uw="u:", b="b", ch="t s", d="d", dh="d", dx="d", el="e l", em="e m", en="e n",
    f="f", g="g", hh="h", hv="h", jh="d j", k="k", l="l", m="m", n="n", nx="n", ng="N k", p="p", r="r", s="s", sh="s",
    t="t", th="t", v="v", w="v", y="j", z="s", zh="s", pau="#",
)
HINDI = dict(
    aa="aa", ae="eh", ah="a", ao="aa", aw="aw", ax="a", axr="a r", ay="ay", eh="eh", er="a r", ey="ee", ih="ih",
    iy="iy", ow="oo", oy="oo ih", uh="uh", uw="uw", b="b", ch="ch", d="D", dh="dh", dx="T", el="a l", em="a m",
    en="a n", f="f", g="g", hh="h", hv="h", jh="j", k="k", l="l", m="m", n="n", nx="n", ng="n g", p="p", r="r", s="s",
    sh="sh", t="T", th="th", v="v", w="w", y="y", z="j", zh="zh", pau="pau",
)
BRITISH = dict(
    aa="o", ae="a", ah="uh", ao="oo", aw="au", ax="@", axr="@", ay="ai", eh="e", er="@@", ey="ei", ih="i", iy="ii",
    ow="ou", oy="oi", uh="u", uw="uu", b="b", ch="ch", d="d", dh="dh", dx="t", el="@ l", em="@ m", en="@ n", f="f",
    g="g", hh="h", hv="h", jh="jh", k="k", l="l", m="m", n="n", nx="n", ng="ng", p="p", r="r", s="s", sh="sh", t="t",
    th="th", v="v", w="w", y="y", z="z", zh="zh", pau="#",
)
VOWELS = set("aa ae ah ao aw ax axr ay eh er ey ih iy ow oy uh uw".split())
# name: phone map, middle of its pitch (Hz), voices of the same kind are drawn equally often
SEGMENT_VOICES = {
    "rab_diphone": (BRITISH, 105), "don_diphone": (BRITISH, 110), "lp_diphone": (ITALIAN, 180), "pc_diphone": (ITALIAN, 115),
    "czech_dita": (CZECH, 200), "czech_krb": (CZECH, 230), "czech_machac": (CZECH, 110), "czech_ph": (CZECH, 110),
    "suo_fi_lj_diphone": (FINNISH, 190), "hy_fi_mv_diphone": (FINNISH, 110), "hindi_NSK_diphone": (HINDI, 125),
}
# Where the two British voices were unpacked (see synthesise.sh).
BRITISH_FOLDER = os.environ.get("BRITISH_VOICES", "/tmp/voices")


def british_script(voice):
    """Loads a British diphone voice without the dictionary that its package asks for."""
    name = voice.split("_")[0]
    return "\n".join([
        "(define (setup_oald_lex) t)", "(require 'lexicons)",
        f"(set! {dict(don='donovan').get(name, name)}_diphone_dir \"{BRITISH_FOLDER}/{voice}/\")",
        f"(set! voice-locations (cons (cons '{voice} \"{BRITISH_FOLDER}/{voice}/\") voice-locations))",
        '(lex.create "oald") (lex.set.phoneset "mrpa") (lex.set.lts.method \'Error)',
        f"(load \"{BRITISH_FOLDER}/{voice}/festvox/{voice}.scm\")",
    ])


def segments(job, table, middle, rng):
    """The utterance as festival's Segments list: phones of the other language, seconds, pitch points."""
    stretch, middle = rng.uniform(0.8, 1.4), middle * rng.uniform(0.85, 1.18)
    slope, bend = rng.uniform(0.05, 0.3), rng.uniform(-0.08, 0.12)
    phones = job["phones"]
    total, at, out = sum(d for _, d in phones), 0.0, []
    for i, (name, seconds) in enumerate(phones):
        if table is BRITISH and name == "r" and not (i + 1 < len(phones) and phones[i + 1][0] in VOWELS):
            continue
        mapped = table[name].split()
        for part in mapped:
            d = seconds * stretch * rng.uniform(0.85, 1.15) / len(mapped)
            where = at / total
            f0 = middle * (1 + slope * (0.5 - where) + bend * np.sin(where * 9.4 + bend * 40) + rng.uniform(-0.02, 0.02))
            out.append(f"({part} {max(d, 0.025):.3f} ({d / 2:.3f} {f0:.0f}))")
        at += seconds
    return " ".join(out)


def festival_segments(jobs, batch=150):
    jobs = list(jobs)
    names = list(SEGMENT_VOICES)
    for v, voice in enumerate(names):
        table, middle = SEGMENT_VOICES[voice]
        mine = [j for i, j in enumerate(jobs) if i % len(names) == v]
        for at in range(0, len(mine), batch):
            part = mine[at : at + batch]
            with tempfile.TemporaryDirectory() as folder:
                lines = [british_script(voice)] if table is BRITISH else []
                lines.append(f"(voice_{voice})")
                for i, job in enumerate(part):
                    job["voice"] = f"festival/{voice}"
                    listed = segments(job, table, middle, random.Random(job["seed"]))
                    lines.append(
                        f"(utt.save.wave (utt.synth (eval (list 'Utterance 'Segments '({listed})))) \"{folder}/{i}.wav\" 'riff)"
                    )
                run_festival("\n".join(lines), folder)
                for i, job in enumerate(part):
                    if os.path.exists(f"{folder}/{i}.wav"):
                        yield job, read_wav(f"{folder}/{i}.wav")


# ---- English in the mouths of other languages -----------------------------------------------------------------------

# Five vowels and plain consonants, for the many languages of espeak-ng.
PLAIN = dict(
    aa="a", ae="e", ah="a", ao="o", aw="a u", ax="e", axr="e r", ay="a i", eh="e", er="e r", ey="e i", ih="i", iy="i",
    ow="o u", oy="o i", uh="u", uw="u", b="b", ch="t S", d="d", dh="d", dx="d", el="e l", em="e m", en="e n", f="f",
    g="g", hh="h", hv="h", jh="d Z", k="k", l="l", m="m", n="n", nx="n", ng="n g", p="p", r="r", s="s", sh="S", t="t",
    th="t", v="v", w="w", y="j", z="z", zh="Z",
)
ESPEAK_LANGUAGES = "it es pl cs hi ro el tr pt sv nl id sw fi hu hr bn ta".split()
PICO_LANGUAGES = {
    "de-DE": dict(
        PLAIN, aa="a:", ae="E", ao="O:", aw="aU", ax="@", ay="aI", eh="E", er="9 6", ey="e:", ih="I", iy="i:", ow="o:",
        oy="OY", uh="U", uw="u:", ch="tS", dh="z", jh="dZ", r="R", th="s", w="v", ng="N", axr="@", aa1="a",
    ),
    "es-ES": dict(PLAIN, v="b", z="s", sh="tS", ch="tS", jh="jj", hh="x", hv="x", r="r", zh="s", th="T", y="j"),
    "fr-FR": dict(
        PLAIN, aa="a", ae="a", ao="O", ax="@", eh="E", er="9 R", ih="i", r="R", hh="", hv="", sh="S", ch="t S", jh="d Z",
        th="s", dh="z", ng="n g", el="E l", em="E m", en="E n", axr="@ R",
    ),
    "it-IT": dict(PLAIN, ae="E", eh="E", ao="O", ch="tS", jh="dZ", hh="", hv="", zh="S"),
}
CYRILLIC = dict(
    aa="а", ae="э", ah="а", ao="о", aw="ау", ax="а", axr="эр", ay="ай", eh="э", er="эр", ey="эй", ih="и", iy="и",
    ow="оу", oy="ой", uh="у", uw="у", b="б", ch="ч", d="д", dh="з", dx="д", el="эл", em="эм", en="эн", f="ф", g="г",
    hh="х", hv="х", jh="дж", k="к", l="л", m="м", n="н", nx="н", ng="нг", p="п", r="р", s="с", sh="ш", t="т", th="т",
    v="в", w="у", y="й", z="з", zh="ж",
)
ESPERANTO = dict(
    aa="a", ae="e", ah="a", ao="o", aw="aŭ", ax="e", axr="er", ay="aj", eh="e", er="er", ey="ej", ih="i", iy="i",
    ow="oŭ", oy="oj", uh="u", uw="u", b="b", ch="ĉ", d="d", dh="d", dx="d", el="el", em="em", en="en", f="f", g="g",
    hh="h", hv="h", jh="ĝ", k="k", l="l", m="m", n="n", nx="n", ng="ng", p="p", r="r", s="s", sh="ŝ", t="t", th="t",
    v="v", w="ŭ", y="j", z="z", zh="ĵ",
)


def with_word_phones(jobs):
    """Adds the phones word by word, without pauses."""
    jobs = list(jobs)
    for job, words in timed_words(jobs):
        job["words"] = [[name for name, _ in phones] for _, phones, _ in words]
    return jobs


def espeak_abroad(jobs):
    """espeak-ng's other languages given English as their phones."""
    prepared = []
    for job in with_word_phones(jobs):
        rng = random.Random(job["seed"] + 1)
        spelled = []
        for word in job["words"]:
            out, stressed = "", False
            for p in word:
                part = PLAIN[p].replace(" ", "")
                if p == "w" and rng.random() < 0.4:
                    part = "v"
                if p in VOWELS and not stressed:
                    part, stressed = "'" + part, True
                out += part
            spelled.append(out)
        job["language"] = rng.choice(ESPEAK_LANGUAGES)
        job["spoken"] = "[[" + " ".join(spelled) + "]]"
        prepared.append(job)
    yield from espeak(prepared)


def pico_abroad(jobs):
    path = tempfile.mktemp(suffix=".wav")
    for job in with_word_phones(jobs):
        rng = random.Random(job["seed"])
        lang = rng.choice(list(PICO_LANGUAGES))
        table = PICO_LANGUAGES[lang]
        job["voice"] = f"pico/{lang}"
        said = " ".join(
            '<phoneme alphabet="xsampa" ph="%s"/>' % "".join(table[p] for p in word).replace(" ", "") for word in job["words"]
        )
        text = f'<pitch level="{rng.randrange(75, 125)}"><speed level="{rng.randrange(80, 160)}">{said}</speed></pitch>'
        subprocess.run(["pico2wave", "-l", lang, "-w", path, text], check=True, stderr=subprocess.DEVNULL)
        yield job, read_wav(path)
    os.unlink(path)


# Of the Russian voices these four are LGPL-2.1+ like the engine; the others, not used, forbid commercial use.
RHVOICES_ABROAD = {"aleksandr": CYRILLIC, "anna": CYRILLIC, "elena": CYRILLIC, "irina": CYRILLIC, "spomenka": ESPERANTO}


def rhvoice_abroad(jobs):
    path = tempfile.mktemp(suffix=".wav")
    for job in with_word_phones(jobs):
        rng = random.Random(job["seed"])
        voice = rng.choice(list(RHVOICES_ABROAD))
        table = dict(RHVOICES_ABROAD[voice])
        if table["t"] == "т":
            table.update(th=rng.choice("тсф"), dh=rng.choice("зд"), w=rng.choice("ув"), ih=rng.choice("иы"), ax=rng.choice("аэ"))
        job["voice"] = f"rhvoice/{voice}"
        text = " ".join("".join(table[p] for p in word) for word in job["words"])
        r, p = rng.randrange(75, 150), rng.randrange(80, 125)
        subprocess.run(
            ["RHVoice-test", "-p", voice, "-r", str(r), "-t", str(p), "-o", path],
            input=text.encode(), check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        yield job, read_wav(path)
    os.unlink(path)


# ---- many people at once (two acoustic models of pocketsphinx, BSD-2-Clause; see many_people.py) ----------------------


def timed_words(jobs):
    """Each word's phones as if said alone, [(phone, seconds), ...], and whether a pause follows."""
    jobs = list(jobs)
    todo = sorted({w for j in jobs for w in j["text"].replace(",", "").split()})
    known = {word: [(n, d) for n, d in phones if n != "pau"] for word, phones in zip(todo, arpa_phones(todo))}
    for job in jobs:
        yield job, [(word.strip(","), known[word.strip(",")], word.endswith(",")) for word in job["text"].split()]


def placed(phones):
    """(phone, its position in the word as many_people.py has it, seconds) for one word's (phone, seconds)."""
    last = len(phones) - 1
    return [(name, 3 if last == 0 else 1 if i == 0 else 2 if i == last else 0, seconds) for i, (name, seconds) in enumerate(phones)]


def said(job, words, spell, people, pace=1.0):
    """`spell` gives the model's phones for a word's (phone, seconds); `pace` times all lengths."""
    rng = np.random.default_rng(job["seed"])
    # Words said alone are longer than in a sentence.
    stretch = pace * np.exp(rng.normal(0.1, 0.2)) * (1.0 if len(words) == 1 else 0.85)
    phones = []
    for word, listed, pause in words:
        for name, place, seconds in placed(spell(word, listed)):
            phones.append((name, place, seconds * stretch * np.exp(rng.normal(0, 0.22))))
        if pause:
            phones.append(("SIL", 3, rng.uniform(0.08, 0.35)))
    return many_people.sound(people, phones, rng)


def in_model_phones(_word, listed):
    return [(part, seconds / len(parts)) for n, seconds in listed for parts in [many_people.PHONES[n].split()] for part in parts]


def everyone(jobs):
    people = many_people.everyone()
    for job, words in timed_words(jobs):
        job["voice"] = "people/all"
        yield job, said(job, words, in_model_phones, people)


def digit_speakers(jobs):
    """Sentences of the eleven digits alone; others are left out."""
    people = many_people.digit_speakers()
    for job in jobs:  # the words themselves, however they were spelled
        job["text"] = " ".join(job["said"])
    for job, words in timed_words([j for j in jobs if set(j["text"].split()) <= set(many_people.DIGITS)]):
        job["voice"] = "people/digits"
        yield job, said(job, words, lambda word, _: [(p, people.seconds(p)) for p in many_people.digit_phones(word)], people, 0.7)


# ---- English in many accents (see accents.py) -----------------------------------------------------------------------


def accented(jobs):
    """(job, words) with each word as accents.py says it, the job's phones set to them; a stranger's word that would
    sound like one of ours: the job is left out."""
    listed = list(timed_words([*jobs, dict(text=" ".join(accents.KNOWN))]))
    speech = accents.Accents({word: phones for _, words in listed for word, phones, _ in words})
    for job, _ in listed[:-1]:
        drawn = speech.sentence(job["text"], random.Random(job["seed"] + 7))
        if drawn is None:
            continue
        job["habits"], words = drawn
        flat = [p for word in words for p in word]
        job["phones"] = [("pau", 0.1), *((p.name, p.seconds) for p in flat), ("pau", 0.1)]
        yield job, words


RADIO = {name: name for name in accents.LENGTH}
# What may stand in where a voice has no diphone.
NEAR_PHONES = dict(
    eh="ey ae", ih="iy ey", ah="aa ax", uh="uw ow", ae="ay eh", er="ax", ax="ah er", ng="n", w="uw", y="iy", hh="pau", dx="d",
    e="ei a", i="ii", a="ai e", o="oo", u="uu", ii="i", oo="o", **{"@": "@@ uh", "@@": "@"},
)
ACCENT_VOICES = {"kal_diphone": (RADIO, 105, 3), "ked_diphone": (RADIO, 105, 3)} | {
    name: (table, middle, 3 if table is BRITISH else 1) for name, (table, middle) in SEGMENT_VOICES.items()
}


def diphones(voice, table):
    """The diphones a voice has, as its index names them; empty for don, who has names of its own for them, and for the
    voices of other languages."""
    if voice == "don_diphone" or (table is not RADIO and table is not BRITISH):
        return set()
    folder = f"{BRITISH_FOLDER if table is BRITISH else '/usr/share/festival/voices/english'}/{voice}"
    with open(f"{folder}/group/{os.listdir(folder + '/group')[0]}", "rb") as f:
        head, body = f.read().split(b"EST_Header_End", 1)
    count = int(head.split(b"NumEntries")[1].split()[0])
    return {line.split()[0].decode() for line in body.split(b"\n")[1 : count + 1]}


def sayable(parts, have, pause):
    """Phones (name, seconds) with near ones where the voice has no diphone; a short pause where there is none either."""
    parts = [(pause, 0.1), *parts, (pause, 0.1)]
    if not have:
        return parts
    out = parts[:1]
    for i in range(1, len(parts)):
        name, seconds = parts[i]
        before, after = out[-1][0], parts[i + 1][0] if i + 1 < len(parts) else None
        if f"{before}-{name}" not in have:
            others = [n for n in NEAR_PHONES.get(name, "").split() if f"{before}-{n}" in have]
            earlier = [n for n in NEAR_PHONES.get(before, "").split() if f"{n}-{name}" in have and (len(out) < 2 or f"{out[-2][0]}-{n}" in have)]
            others.sort(key=lambda n: f"{n}-{after}" not in have)
            if earlier:
                out[-1] = (earlier[0], out[-1][1])
            elif others:
                name = others[0]
            elif name != pause and before != pause:
                out.append((pause, 0.03))
        out.append((name, seconds))
    return out


def accent_segments(words, table, middle, have, rng):
    """The words as festival's Segments list."""
    phones = [p for word in words for p in word]
    parts = []
    for i, p in enumerate(phones):
        before, after = phones[i - 1].name if i else "pau", phones[i + 1].name if i + 1 < len(phones) else "pau"
        name, seconds = p.name, p.seconds
        if table is BRITISH and name == "r" and after not in VOWELS:
            continue
        if p.mark in ("tap", "trill") and table in (RADIO, BRITISH) and before in VOWELS and after in VOWELS:
            name, seconds = "d", min(seconds, 0.035)
        if p.mark == "glottal" and table in (RADIO, BRITISH):
            name, seconds = "pau", min(seconds, 0.06)
        mapped = table[name].split()
        parts += [(part, seconds / len(mapped)) for part in mapped]
        if p.mark == "asp" and after in VOWELS and table in (RADIO, BRITISH):
            parts.append((table["hh"], 0.04))
    parts = sayable(parts, have, table["pau"])
    middle, slope, bend = middle * rng.uniform(0.82, 1.25), rng.uniform(0.02, 0.35), rng.uniform(-0.1, 0.14)
    total, at, out = sum(d for _, d in parts), 0.0, []
    for part, d in parts:
        where = at / total
        f0 = middle * (1 + slope * (0.5 - where) + bend * np.sin(where * 9.4 + bend * 40) + rng.uniform(-0.02, 0.02))
        out.append(f"({part} {d:.3f} ({d / 2:.3f} {f0:.0f}))")
        at += d
    return " ".join(out)


def segments_accents(jobs, batch=150):
    """festival's diphone voices given the phones of an accent."""
    drawn = list(accented(jobs))
    slots = [name for name, (_, _, share) in ACCENT_VOICES.items() for _ in range(share)]
    for voice, (table, middle, _) in ACCENT_VOICES.items():
        have = diphones(voice, table)
        mine = [d for i, d in enumerate(drawn) if slots[i % len(slots)] == voice]
        for at in range(0, len(mine), batch):
            part = mine[at : at + batch]
            with tempfile.TemporaryDirectory() as folder:
                lines = [british_script(voice)] if table is BRITISH else []
                lines.append(f"(voice_{voice})")
                for i, (job, words) in enumerate(part):
                    job["voice"] = f"festival/{voice}/accent"
                    listed = accent_segments(words, table, middle, have, random.Random(job["seed"]))
                    lines.append(
                        f"(utt.save.wave (utt.synth (eval (list 'Utterance 'Segments '({listed})))) \"{folder}/{i}.wav\" 'riff)"
                    )
                run_festival("\n".join(lines), folder)
                for i, (job, _) in enumerate(part):
                    if os.path.exists(f"{folder}/{i}.wav"):
                        yield job, read_wav(f"{folder}/{i}.wav")


# Pico's English phones; it knows no others, and passes over a symbol it does not know.
PICO_ENGLISH = dict(
    aa="A:", ae="{", ah="V", ao="O:", aw="a_U", ax="@", ay="a_I", eh="E", er="3:", ey="e_I", ih="I", iy="i:", ow="o_U", oy="O_I",
    uh="U", uw="u:", b="b", ch="t_S", d="d", dh="D", f="f", g="g", hh="h", jh="d_Z", k="k", l="l", m="m", n="n", ng="N", p="p",
    r="r\\\\", s="s", sh="S", t="t", th="T", v="v", w="w", y="j", z="z", zh="Z",
)


def pace(word):
    """How fast a word is said, relative to the usual lengths of its phones."""
    return sum(accents.LENGTH[p.name] for p in word) / sum(p.seconds for p in word)


def marked_up(words, stress, spell, say):
    """Markup of the words: pauses as breaks; of the others `say(word, spelled)`, the first full vowel after `stress`."""
    out = []
    for word in words:
        if word[0].name == "pau":
            out.append(f'<break time="{word[0].seconds * 1000:.0f}ms"/>')
            continue
        spelled, stressed = "", False
        for p in word:
            if p.name in VOWELS and p.name != "ax" and not stressed:
                spelled, stressed = spelled + stress, True
            spelled += spell(p)
        out.append(say(word, spelled))
    return " ".join(out)


def pico_accents(jobs):
    path = tempfile.mktemp(suffix=".wav")
    for job, words in accented(jobs):
        rng = random.Random(job["seed"])
        lang = rng.choice(["en-GB", "en-US"])
        table = PICO_ENGLISH | (dict(ow="@_U", aa=rng.choice(["A:", "Q"])) if lang == "en-GB" else {})
        job["voice"] = f"pico/{lang}/accent"

        def say(word, spelled):
            speed = min(220, max(50, 120 * pace(word)))
            return f"<speed level=\"{speed:.0f}\"><phoneme alphabet=\"xsampa\" ph='{spelled}'/></speed>"

        said_words = marked_up(words, '"', lambda p: table[p.name], say)
        text = f'<pitch level="{rng.randrange(65, 145)}">{said_words}</pitch>'
        subprocess.run(["pico2wave", "-l", lang, "-w", path, text], check=True, stderr=subprocess.DEVNULL)
        yield job, read_wav(path)
    os.unlink(path)


def everyone_accents(jobs):
    people = many_people.everyone()
    for job, words in accented(jobs):
        rng = np.random.default_rng(job["seed"])
        job["voice"] = "people/all/accent"
        phones = [p for word in words for p in placed(in_model_phones(word, [(p.name, p.seconds) for p in word]))]
        yield job, many_people.sound(people, phones, rng)


ESPEAK_ENGLISH = dict(
    aa="A:", ae="a", ah="V", ao="O:", aw="aU", ax="@", ay="aI", eh="E", er="3:", ey="eI", ih="I", iy="i:", ow="oU", oy="OI",
    uh="U", uw="u:", b="b", ch="tS", d="d", dh="D", f="f", g="g", hh="h", jh="dZ", k="k", l="l", m="m", n="n", ng="N", p="p",
    r="r", s="s", sh="S", t="t", th="T", v="v", w="w", y="j", z="z", zh="Z",
)
ESPEAK_MARKS = {("r", "tap"): "*", ("r", "trill"): "R", ("r", "uvular"): "Q", ("d", "flap"): "t#", ("t", "glottal"): "?"}


def espeak_accents(jobs):
    prepared = []
    for job, words in accented(jobs):
        rng = random.Random(job["seed"] + 1)
        said_words = marked_up(
            words, "'", lambda p: ESPEAK_MARKS.get((p.name, p.mark), ESPEAK_ENGLISH[p.name]),
            lambda word, spelled: f'<prosody rate="{min(180, max(55, 100 * pace(word))):.0f}%">[[{spelled}]] </prosody>',
        )
        job["language"] = rng.choice(["gmw/en-US"] * 4 + ["gmw/en", "gmw/en-GB-x-rp", "gmw/en-029", "gmw/en-US-nyc"])
        job["spoken"], job["ssml"] = f"<speak>{said_words} </speak>", True
        prepared.append(job)
    for job, sound in espeak(prepared):
        job["voice"] += "/accent"
        yield job, sound


# ---- gnuspeech (GPL-3, a model of the throat): every sentence from a throat of its own ------------------------------

# The node_modules folder with @echogarden/gnuspeech-wasm (see make.sh).
GNUSPEECH = os.environ.get("GNUSPEECH", "")


def gnuspeech(jobs):
    words = throats.read_dictionary(f"{GNUSPEECH}/@echogarden/gnuspeech-wasm/data/en/MainDictionary.txt")
    script = os.path.join(os.path.dirname(os.path.abspath(__file__)), "gnuspeech.mjs")
    with subprocess.Popen(["node", script, GNUSPEECH], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as speaker:
        # A few sentences ahead, so that neither waits for the other.
        waiting = collections.deque()
        for job in [*jobs, *[None] * 6]:
            if job:
                wanted, length = throats.settings(job["text"], job["seed"], words)
                job["voice"] = f"gnuspeech/{length:.0f}"
                speaker.stdin.write(json.dumps(wanted).encode() + b"\n")
                speaker.stdin.flush()
            waiting.append(job)
            if len(waiting) <= 6:
                continue
            said = waiting.popleft()
            count = int.from_bytes(speaker.stdout.read(4), "little")
            if count:
                sound = np.frombuffer(speaker.stdout.read(2 * count), "<i2").astype(np.float32) / 32768
                yield said, to_rate(sound, throats.RATE)
        speaker.stdin.close()


# ---- flite (BSD-like): held out, for testing only ------------------------------------------------------------------

FLITE_VOICES = ["slt", "rms", "awb", "kal", "kal16"]


def flite(jobs):
    path = tempfile.mktemp(suffix=".wav")
    for i, job in enumerate(jobs):
        rng = random.Random(job["seed"])
        voice = FLITE_VOICES[i % len(FLITE_VOICES)]
        job["voice"] = f"flite/{voice}"
        stretch = rng.choice([1.0, 1.0, rng.uniform(0.8, 1.25)])
        subprocess.run(
            ["flite", "-voice", voice, "--setf", f"duration_stretch={stretch:.3f}", "-t", job["text"], "-o", path], check=True
        )
        yield job, read_wav(path)
    os.unlink(path)


ENGINES = dict(
    espeak=espeak, pico=pico, rhvoice=rhvoice, festival=festival_text, segments=festival_segments, flite=flite,
    espeak_abroad=espeak_abroad, pico_abroad=pico_abroad, rhvoice_abroad=rhvoice_abroad,
    everyone=everyone, digit_speakers=digit_speakers,
    segments_accents=segments_accents, pico_accents=pico_accents, espeak_accents=espeak_accents, everyone_accents=everyone_accents,
    gnuspeech=gnuspeech,
)
