"""Ways of saying the words: python3 accents.py prints samples and checks that no word turns into another.

A synthesiser says "four" in one way only; people differ by accent, care and tempo. Here each sentence gets a speaker
with habits (none for a fifth, mostly two to five) that hold for all its words, and each phone a length of its own. The
habits are common knowledge of English accents, native and foreign; no source was used, nor any recording.

A phone is Phone(name, seconds, mark): the name is one of the ARPAbet names of festival's American front end, the mark
says what an engine that can may make of it ("tap", "trill", "uvular", "glottal", "flap", "asp"; "weak" and "unasp" are
in the length alone).
"""

import random
from collections import namedtuple
from math import exp, log

import sentences

Phone = namedtuple("Phone", "name seconds mark", defaults=("",))

VOWELS = set("aa ae ah ao aw ax ay eh er ey ih iy ow oy uh uw".split())
VOICED = dict(b="p", d="t", g="k", v="f", z="s", dh="th", zh="sh", jh="ch")
# Usual lengths in seconds, for phones that a habit puts in.
LENGTH = dict(
    aa=0.14, ae=0.13, ah=0.10, ao=0.14, aw=0.17, ax=0.06, ay=0.16, eh=0.10, er=0.13, ey=0.15, ih=0.08, iy=0.12, ow=0.16,
    oy=0.19, uh=0.08, uw=0.12, b=0.07, ch=0.12, d=0.06, dh=0.05, f=0.10, g=0.07, hh=0.06, jh=0.10, k=0.09, l=0.07,
    m=0.07, n=0.06, ng=0.07, p=0.09, r=0.06, s=0.11, sh=0.11, t=0.07, th=0.10, v=0.06, w=0.06, y=0.05, z=0.08, zh=0.09,
    pau=0.1,
)

# Other ways to say a whole word, one way chosen for each word of a sentence.
LEXICAL = {
    "zero": "z iy r ow|z ih r ow|z eh r ow|s iy r ow|z ih er ow|z iy r ao",
    "one": "w ah n|w aa n|w ao n|w uh n",
    "two": "t uw|ch uw|t y uw|t ih uw",
    "three": "th r iy|th ax r iy|th r ih iy|th r ih",
    "four": "f ao r|f ow r|f ao|f ow ax|f ao ax|f uh r|f aa r",
    "five": "f ay v|f aa v|f ay f|f ao ih v|f aa iy v",
    "six": "s ih k s|s ih k ax s|s iy k s|s eh k s|s ax k s",
    "seven": "s eh v ax n|s eh v n|s eh v eh n|s eh v m|s eh b ax m|s eh v ih n|s ey v ax n|s ae v ax n",
    "eight": "ey t|ey d|eh t|eh ih t|ey ax t",
    "nine": "n ay n|n aa n|n ay ax n|n ao ih n|n aa iy n",
    "ten": "t eh n|t eh ax n|t ey n",
    "eleven": "ih l eh v ax n|ax l eh v ax n|iy l eh v ax n|l eh v ax n|ih l eh v m|eh l eh v eh n|ih l eh b ax m",
    "twelve": "t w eh l v|t w eh l f|t w eh uh v|t w ah l v|t w eh l|t w eh l ax v",
    "thirteen": "th er t iy n|th er d iy n|th eh r t iy n|th er t ih n",
    "fourteen": "f ao r t iy n|f ao r d iy n|f ow r t iy n|f ao t ih n",
    "fifteen": "f ih f t iy n|f iy f t iy n|f ih f t ih n",
    "twenty": "t w eh n t iy|t w eh n iy|t w ah n iy|t w ah n t iy|t w eh n t ih|t w eh n t ey|t w ih n t iy",
    "thirty": "th er t iy|th er d iy|th er t ih|th eh r t iy|th er t ey",
    "forty": "f ao r t iy|f ao r d iy|f ao t ih|f ow r t iy|f ao r t ey",
    "fifty": "f ih f t iy|f ih f t ih|f iy f t iy|f ih f t ey",
    "seventy": "s eh v ax n t iy|s eh v n d iy|s eh v eh n t iy|s eh b ax m t iy|s eh v ax n iy",
    "eighty": "ey t iy|ey d iy|eh t iy|ey t ih",
    "ninety": "n ay n t iy|n ay n d iy|n aa n t iy|n ay n t ih|n ao ih n t iy",
    "hundred": "hh ah n d r ax d|hh ah n d er d|hh ah n r ih d|hh ah n d r eh d|ah n d r ih d|hh ah n er d|hh aa n d r eh d",
    "point": "p oy n t|p ao n t|p ay n t|p oy n|p ao ih n t|p ow ih n t",
    "decimal": "d eh s ih m ax l|d eh s ax m ax l|d eh z ih m ax l|d ey s iy m ax l|d eh s m ax l|d eh s iy m aa l|d eh s ih m ow",
    "half": "hh ae f|hh aa f|hh ah f",
    "nought": "n ao t|n aa t",
    "and": "ae n d|ax n d|ax n|ae n|aa n d",
    "milliliters": "m ih l iy l iy t er z|m ih l ih l iy t er z|m ih l ax l iy d er z|m ih l iy l iy t ax z|m iy l iy l iy t eh r s|m ih l ih l ih t r ax z",
    "water": "w ao t er|w aa d er|w ao t ax|w aa t er|w ao d er",
    "temperature": "t eh m p r ax ch er|t eh m p ax ch er|t eh m p er ax ch er|t eh m p r ax t uw r|t eh m p eh r aa t y uh r",
    "iodide": "ay ax d ay d|ay ow d ay d|ay ax d ih d|iy ow d iy d",
    "peroxide": "p er aa k s ay d|p ax r aa k s ay d|p eh r ao k s iy d|p ax r ao k s ay d",
    "hydrogen": "hh ay d r ax jh ax n|hh ay d r ow jh eh n|ay d r ow jh eh n|hh iy d r ow g eh n",
    "solution": "s ax l uw sh ax n|s ow l uw sh ax n|s ao l y uw sh ax n",
    "again": "ax g eh n|ax g ey n|ax g ih n",
    "negative": "n eh g ax t ih v|n eh g ax d ih v|n eh g aa t iy v|n ih g ax t ih v",
    "correction": "k er eh k sh ax n|k ax r eh k sh ax n|k ao r eh k sh ow n",
    "baseline": "b ey s l ay n|b eh s l ay n|b ey s l aa n",
    "degrees": "d ih g r iy z|d ax g r iy z|d iy g r iy s",
    "yes": "y eh s|y eh ax s|y ih s|y ae s",
}

# One vowel for another.
SHIFTS = {
    "iy>ih": {"iy": ["ih"]}, "ih>iy": {"ih": ["iy"]}, "eh>ae": {"eh": ["ae"]}, "ae>eh": {"ae": ["eh"]},
    "eh>ih": {"eh": ["ih"]}, "ih>eh": {"ih": ["eh"]}, "ah>aa": {"ah": ["aa"]}, "ah>uh": {"ah": ["uh"]},
    "ah>ao": {"ah": ["ao"]}, "ao>ow": {"ao": ["ow"]}, "ao>aa": {"ao": ["aa"]}, "aa>ao": {"aa": ["ao"]},
    "ae>aa": {"ae": ["aa"]}, "uw front": {"uw": ["ih", "uw"]}, "uw>uh": {"uw": ["uh"]}, "er>ehr": {"er": ["eh", "r"]},
    "er>aa": {"er": ["aa", "r"]}, "er>ah": {"er": ["ah"]}, "ay>oy": {"ay": ["oy"]}, "ay>ey": {"ay": ["ah", "ih"]},
    "ey>ay": {"ey": ["ay"]}, "ow>aw": {"ow": ["aw"]}, "ih>ax": {"ih": ["ax"]}, "eh>ey": {"eh": ["ey"]},
}
MONO = {"ey": "eh", "ow": "ao", "ay": "aa", "aw": "aa"}
BREAK = {
    "eh": ["eh", "ax"], "ae": ["eh", "ae"], "ih": ["ih", "ax"], "ao": ["ow", "ax"], "iy": ["ih", "iy"], "uw": ["uh", "uw"],
    "ah": ["ah", "ax"], "er": ["ax", "er"],
}

# How often each habit is among a speaker's, relative to the others.
WEIGHTS = dict(
    th=3, rless=2.5, rmanner=2, zinitial=1, sinitial=0.5, vw=2, devoice=2, weakfinal=2, nasal=1, hdrop=0.8, tmanner=2, asp=1.2,
    mono=3, breaking=3, shift=8, weakvowel=2, epenthesis=1.5, darkl=1.2, softstart=2.5, drawl=2, clip=2, lexical=5,
)
# Habits that often go together in one mouth; each is taken with 65 %.
PACKAGES = [
    dict(th="stop", rmanner="tap", vw="v", mono=None, tmanner="unasp", shift=["ae>eh", "ah>aa", "er>ehr"]),
    dict(th="sib", rmanner="uvular", hdrop=None, weakvowel="full", devoice=None, shift=["ih>iy", "ah>ao", "ae>aa"]),
    dict(th="sib", vw="v", devoice=None, zinitial="dz", rless=None, shift=["ae>eh", "er>ah"]),
    dict(th="stop", epenthesis="before", zinitial="s", rmanner="trill", mono=None, shift=["ih>iy", "ae>aa", "ah>aa"]),
    dict(th="sib", epenthesis="inside", rmanner="tap", weakvowel="full", vw="v", shift=["ah>aa", "er>aa"]),
    dict(th="front", rless=None, hdrop=None, tmanner="glottal", darkl=None, shift=["ey>ay", "ay>oy", "ow>aw"]),
    dict(rless=None, tmanner="flap", breaking=["iy", "uw"], shift=["ey>ay", "eh>ih", "ih>ax"]),
    dict(rmanner="tap", mono=None, tmanner="glottal", shift=["uw front", "er>ehr", "ay>ey"]),
    dict(mono=["ay"], breaking=["eh", "ih", "ae"], tmanner="flap", drawl=None, shift=["eh>ih"]),
    dict(th="stop", weakfinal=None, clip=None, mono=None, rless=None, shift=["iy>ih", "ae>eh"]),
    dict(th="front", weakfinal=None, tmanner="flap", softstart=None, clip=None),
    dict(th="stop", tmanner="asp", rmanner="trill", mono=None, shift=["ah>uh", "er>ehr", "uw front"]),
]


def setting(habit, rng):
    """What exactly a speaker does who has this habit."""
    if habit == "th":
        return rng.choices(["front", "stop", "sib"], [3, 3, 2])[0]
    if habit == "rmanner":
        return rng.choice(["tap", "tap", "trill", "w", "uvular"])
    if habit == "zinitial":
        return rng.choice(["s", "dz"])
    if habit == "vw":
        return rng.choice(["v", "v", "w", "f"])
    if habit == "tmanner":
        return rng.choice(["flap", "flap", "glottal", "weak", "d"])
    if habit == "asp":
        return rng.choice(["asp", "unasp"])
    if habit == "mono":
        return rng.sample(sorted(MONO), rng.choice([1, 2, 2, 4]))
    if habit == "breaking":
        return rng.sample(sorted(BREAK), rng.choice([1, 2, 3]))
    if habit == "shift":
        return rng.sample(sorted(SHIFTS), rng.choice([1, 2, 2, 3, 4]))
    if habit == "weakvowel":
        return rng.choice(["eh", "ah", "ih", "full", "none"])
    if habit == "epenthesis":
        return rng.choice(["before", "inside"])
    if habit in ("drawl", "clip", "softstart"):
        return dict(drawl=rng.uniform(1.25, 1.8), clip=rng.uniform(0.55, 0.8), softstart=rng.uniform(0.35, 0.65))[habit]
    return True


def draw_speaker(rng):
    """{habit: setting}."""
    if rng.random() < 0.2:
        return {}
    habits = {}
    if rng.random() < 0.4:
        for habit, value in rng.choice(PACKAGES).items():
            if rng.random() < 0.65:
                habits[habit] = setting(habit, rng) if value is None else value
        if isinstance(habits.get("shift"), list):
            habits["shift"] = rng.sample(habits["shift"], rng.randrange(1, len(habits["shift"]) + 1))
    while len(habits) < rng.choice([2, 3, 3, 4, 4, 5]):
        habit = rng.choices(list(WEIGHTS), list(WEIGHTS.values()))[0]
        if habit not in habits:
            habits[habit] = setting(habit, rng)
    return habits


# ---- what each habit does to a word: list of Phone in, list of Phone out --------------------------------------------


def each(phones, change):
    """change(i, phone, before, after) -> list of (name, share of the length[, mark]), or None to leave it."""
    out = []
    for i, p in enumerate(phones):
        new = change(i, p, phones[i - 1] if i else None, phones[i + 1] if i + 1 < len(phones) else None)
        if new is None:
            out.append(p)
        else:
            out += [Phone(n[0], p.seconds * n[1], n[2] if len(n) > 2 else p.mark) for n in new]
    return out


def vowel(p):
    return p is not None and p.name in VOWELS


def say_th(ph, how):
    table = dict(front=("f", "v"), stop=("t", "d"), sib=("s", "z"))[how]

    def change(i, p, before, after):
        if p.name == "th":
            return [(table[0], 0.8 if how == "stop" else 1)]
        if p.name == "dh":
            return [("d" if how == "front" and not i else table[1], 1)]

    return each(ph, change)


def say_rless(ph, _):
    def change(i, p, before, after):
        if p.name == "r" and vowel(before) and not vowel(after):
            return [("ax", 0.8)] if before.name in ("ih", "iy", "eh", "uh") else []
        if p.name == "er" and after is None and len(ph) > 2:
            return [("ax", 0.9)]

    out = each(ph, change)
    if len(out) < len(ph):  # the vowel takes the time of the r
        out = each(out, lambda i, p, b, a: [(p.name, 1.25)] if p.name in ("ao", "aa", "ow") and (a is None or not vowel(a)) else None)
    return out


def say_rmanner(ph, how):
    if how == "w":
        return each(ph, lambda i, p, b, a: [("w", 1)] if p.name == "r" and vowel(a) else None)
    return each(ph, lambda i, p, b, a: [("r", 0.6 if how == "tap" else 1.1, how)] if p.name == "r" else None)


def say_zinitial(ph, how):
    return each(ph, lambda i, p, b, a: ([("s", 1.2)] if how == "s" else [("d", 0.5), ("z", 0.8)]) if p.name == "z" and not i else None)


def say_sinitial(ph, _):
    return each(ph, lambda i, p, b, a: [("z", 0.8)] if p.name == "s" and not i and vowel(a) else None)


def say_vw(ph, how):
    table = dict(v={"w": "v"}, w={"v": "w"}, f={"w": "v", "v": "f"})[how]
    return each(ph, lambda i, p, b, a: [(table[p.name], 1)] if p.name in table and (p.name == "v" or not i or how != "f") else None)


def say_devoice(ph, _):
    out = list(ph)
    for i in range(len(out) - 1, -1, -1):
        if out[i].name in VOICED:
            out[i] = out[i]._replace(name=VOICED[out[i].name], seconds=out[i].seconds * 1.15)
        elif out[i].name in VOWELS or out[i].name in ("l", "m", "n", "ng", "r"):
            break
    return out


def say_weakfinal(ph, _):
    """The last of a cluster goes, a single last consonant is hardly there."""
    if len(ph) > 2 and not vowel(ph[-1]) and not vowel(ph[-2]) and ph[-1].name in ("t", "d", "v", "z", "s", "k"):
        return ph[:-1]
    return each(ph, lambda i, p, b, a: [(p.name, 0.45, "weak")] if a is None and not vowel(p) and p.name not in ("s", "r", "l") else None)


def say_nasal(ph, _):
    return each(ph, lambda i, p, b, a: [("ng", 0.7)] if p.name == "n" and a is None and vowel(b) else None)


def say_hdrop(ph, _):
    return each(ph, lambda i, p, b, a: [] if p.name == "hh" else None)


def say_tmanner(ph, how):
    def change(i, p, before, after):
        if p.name != "t" or not i:
            return [("t", 0.6)] if how == "unasp" and p.name == "t" else None
        between = after is not None and (vowel(before) or before.name in ("r", "n")) and vowel(after)
        if between:
            return {"flap": [("d", 0.45, "flap")], "d": [("d", 0.8)], "glottal": [("t", 0.8, "glottal")]}.get(how, [("t", 0.55)])
        if after is None and vowel(before):
            return {"glottal": [("t", 0.7, "glottal")], "d": [("d", 0.8)]}.get(how, [("t", 0.4, "weak")])

    if how == "asp":
        return say_asp(ph, how)
    return each(ph, change)


def say_asp(ph, how):
    def change(i, p, before, after):
        if not i and p.name in ("p", "t", "k"):
            return [(p.name, 1.3, "asp")] if how == "asp" else [(p.name, 0.55, "unasp")]

    return each(ph, change)


def say_mono(ph, which):
    which = MONO if which is True else which
    return each(ph, lambda i, p, b, a: [(MONO[p.name], 0.95)] if p.name in which and p.name in MONO else None)


def say_breaking(ph, which):
    def change(i, p, before, after):
        if p.name in which and p.seconds > 0.06 and (after is None or not vowel(after)) and not (before and vowel(before)):
            first, second = BREAK[p.name]
            return [(first, 0.65), (second, 0.6)]

    return each(ph, change)


def say_shift(ph, which):
    table = {}
    for name in which:
        for old, new in SHIFTS[name].items():
            table.setdefault(old, new)

    def change(i, p, before, after):
        if p.name in table and not (p.name == "er" and after and vowel(after)):
            new = table[p.name]
            return [(n, 1.0 if len(new) == 1 else 0.6) for n in new]

    return each(ph, change)


def say_weakvowel(ph, how):
    def change(i, p, before, after):
        if p.name == "ax":
            full = dict(full="eh" if after and after.name in ("n", "d", "m") else "aa", none="ax").get(how, how)
            if how == "none" and after and after.name in ("n", "l") and before and not vowel(before):
                return []
            return [(full, 1.4 if how == "full" else 1.1)]
        if how == "none" and p.name == "iy" and after is None and i > 2:
            return [("ih", 0.8)]

    return each(ph, change)


def say_epenthesis(ph, how):
    cons = [not vowel(p) for p in ph]
    if how == "before" and len(ph) > 2 and ph[0].name == "s" and cons[1]:
        return [Phone("eh", 0.06)] + list(ph)
    if how == "inside":
        out = []
        for i, p in enumerate(ph):
            out.append(p)
            if p.name in ("t", "d", "th", "s", "k", "p", "f", "b", "g") and i + 1 < len(ph) and ph[i + 1].name in ("r", "w", "l", "m"):
                out.append(Phone("ax", 0.04))
        return out
    return list(ph)


def say_darkl(ph, _):
    return each(ph, lambda i, p, b, a: [("uh", 1.0)] if p.name == "l" and vowel(b) and not vowel(a) and b.name not in ("uh", "uw") else None)


def say_softstart(ph, share):
    return each(ph, lambda i, p, b, a: [(p.name, share, "weak")] if not i and p.name in ("f", "th", "s", "t", "z", "n", "v", "w", "hh") else None)


def say_drawl(ph, factor):
    return each(ph, lambda i, p, b, a: [(p.name, factor if p.name != "ax" else 1.1)] if vowel(p) else None)


def say_clip(ph, factor):
    return each(ph, lambda i, p, b, a: [(p.name, factor if vowel(p) else 0.85)])


# In this order: whole words, vowels, consonants, lengths.
ORDER = dict(
    weakvowel=say_weakvowel, shift=say_shift, mono=say_mono, breaking=say_breaking, nasal=say_nasal, hdrop=say_hdrop,
    sinitial=say_sinitial, zinitial=say_zinitial, th=say_th, vw=say_vw, darkl=say_darkl, tmanner=say_tmanner, asp=say_asp,
    rless=say_rless, rmanner=say_rmanner, devoice=say_devoice, weakfinal=say_weakfinal, epenthesis=say_epenthesis,
    softstart=say_softstart, drawl=say_drawl, clip=say_clip,
)


# ---- no word may become another -------------------------------------------------------------------------------------

# Height (0 close), backness (0 front), at the beginning and at the end.
PLACES = dict(
    iy=(0, 0), ih=(0.2, 0.15), eh=(0.55, 0.15), ae=(0.8, 0.2), aa=(1, 0.7), ah=(0.7, 0.55), ao=(0.65, 1), uh=(0.25, 0.8),
    uw=(0, 0.9), ax=(0.5, 0.5), er=(0.5, 0.45), ey=(0.4, 0.1, 0.1, 0.05), ow=(0.45, 0.9, 0.2, 0.9), ay=(1, 0.5, 0.2, 0.1),
    aw=(1, 0.5, 0.2, 0.9), oy=(0.6, 1, 0.2, 0.1),
)
NEAR_CONSONANTS = {
    "th f": 0.2, "th t": 0.3, "th s": 0.3, "dh v": 0.2, "dh d": 0.2, "dh z": 0.3, "w v": 0.3, "w r": 0.35, "l w": 0.5,
    "l r": 0.5, "n m": 0.4, "n ng": 0.25, "m ng": 0.4, "s sh": 0.35, "v b": 0.4, "t ch": 0.35, "d jh": 0.4, "p t": 0.5, "t k": 0.5,
    "p k": 0.5, "b d": 0.5, "d g": 0.5, "b g": 0.5, "f s": 0.6, "v z": 0.6, "y iy": 0.4, "w uw": 0.4, "l uh": 0.3, "l ow": 0.4,
    "dh th": 0.25, "d dh": 0.25, "f v": 0.25, "n l": 0.6, "n d": 0.6, "r d": 0.6,
}
NEAR_CONSONANTS.update({" ".join(reversed(k.split())): v for k, v in list(NEAR_CONSONANTS.items())})
NEAR_CONSONANTS.update({f"{a} {b}": 0.25 for a, b in VOICED.items()})
NEAR_CONSONANTS.update({f"{b} {a}": 0.25 for a, b in VOICED.items()})
MISSING = dict(ax=0.3, hh=0.3, r=0.25, t=0.4, d=0.4, n=0.6, y=0.45, w=0.45)


def instead(a, b):
    if a == b:
        return 0.0
    near = NEAR_CONSONANTS.get(f"{a} {b}")
    if near is not None:
        return near
    if (a in VOWELS) != (b in VOWELS):
        return 1.3
    if a not in VOWELS:
        return 0.9
    p, q = (x if len(x) == 4 else x + x for x in (PLACES[a], PLACES[b]))
    apart = (abs(p[0] - q[0]) + abs(p[1] - q[1]) + abs(p[2] - q[2]) + abs(p[3] - q[3])) / 2.6
    return 0.1 + apart + (0.15 if "er" in (a, b) else 0)


INSTEAD = {(a, b): instead(a, b) for a in LENGTH for b in LENGTH}
MISSED = {a: MISSING.get(a, 0.6 if a in VOWELS else 0.8) for a in LENGTH}


def apart(a, b, enough):
    """How far two words are from each other (sum of the costs of an alignment); stops above enough."""
    row = [0.0]
    for y in b:
        row.append(row[-1] + MISSED[y])
    for x in a:
        new = [row[0] + MISSED[x]]
        for j, y in enumerate(b):
            new.append(min(row[j] + INSTEAD[x, y], row[j + 1] + MISSED[x], new[j] + MISSED[y]))
        if min(new) > enough:
            return enough + 1
        row = new
    return row[-1]


# The label of each word that is said for one.
LABEL_OF = {w: w for w in sentences.LABELS[2:]}
for _label, _ways in sentences.SPELLINGS.items():
    for _spelling, _ in _ways:
        for _word in _spelling.split():
            LABEL_OF.setdefault(_word, _label)
# Every word whose sound has to be known before anything is said.
KNOWN = [*LABEL_OF, *(w for w in sentences.NEAR_MISSES if w not in LABEL_OF)]
# Strangers' words that ours may sound like all the same, since many people say them so.
SHARED = {"free"}


class Accents:
    """Says words with habits and remembers which sounds belong to which label, so that no two share one."""

    def __init__(self, canonical):
        """canonical: word -> list of (name, seconds) for every word that will be said, as the dictionary has it."""
        self.canonical = canonical
        self.owner, self.models, self.seen = {}, {}, {}
        for word, label in LABEL_OF.items():
            ways = [w.split() for w in LEXICAL.get(word, "").split("|") if w]
            if word in canonical:
                ways.insert(0, [n for n, _ in canonical[word]])
            for i, way in enumerate(ways):
                sound = tuple(way)
                if self.owner.get(sound, label) != label:
                    if i == 0 and word not in LEXICAL:
                        continue
                    raise AssertionError(f"{word} and {self.owner[sound]} are both said {sound}")
                self.owner[sound] = label
                # Ways that drop or change much are no model of the word to measure from.
                if i < 2:
                    self.models.setdefault(label, []).append(sound)

        for word in sentences.NEAR_MISSES:
            if word not in LABEL_OF and word not in SHARED:
                self.owner.setdefault(tuple(n for n, _ in canonical[word]), sentences.GARBAGE)

    def allowed(self, label, sound):
        """Whether the sound may stand for the label: nobody else's, and nearest to its own."""
        known = self.seen.get((label, sound))
        if known is not None:
            return known
        owner = self.owner.get(sound)
        if owner is not None:
            ok = owner == label
        elif label == sentences.GARBAGE:
            ok = all(apart(sound, m, 0.35) > 0.35 for ms in self.models.values() for m in ms)
        else:
            own = min(apart(sound, m, 9) for m in self.models[label])
            ok = any(p in VOWELS for p in sound) and own < 1.2 and all(
                apart(sound, m, own + 0.2) > own + 0.2 for l, ms in self.models.items() if l != label for m in ms
            )
            if ok:
                self.owner[sound] = label
        if label != sentences.GARBAGE:
            self.seen[label, sound] = ok
        return ok

    def base(self, word, habits, rng):
        plain = [Phone(n, max(s, 0.03)) for n, s in self.canonical[word]]
        if "lexical" in habits and word in LEXICAL and rng.random() < 0.8:
            way = rng.choice(LEXICAL[word].split("|")).split()
            scale = sum(p.seconds for p in plain) / sum(LENGTH[p.name] for p in plain)
            return [Phone(n, LENGTH[n] * scale) for n in way]
        return plain

    def word(self, word, habits, rng):
        """One word said with the habits; those that would make another word of it are left out."""
        label = LABEL_OF.get(word, sentences.GARBAGE)
        mine = dict(habits)
        while True:
            phones = self.base(word, mine, rng)
            for habit, say in ORDER.items():
                if habit in mine:
                    phones = say(phones, mine[habit])
            if not any(h in mine for h in habits if h not in ("softstart", "drawl", "clip")):
                return phones
            if phones and self.allowed(label, tuple(p.name for p in phones)):
                return phones
            del mine[rng.choice([h for h in mine if h not in ("softstart", "drawl", "clip")])]

    def sentence(self, text, rng):
        """(habits, list of words, each a list of Phone; a pause is a word of one "pau"), or None where a stranger's
        word has the sound of one of ours."""
        habits = draw_speaker(rng)
        tempo = exp(rng.uniform(log(0.7), log(1.5)))
        spread = rng.uniform(0.2, 0.3)
        spelled = text.split()
        said = {}
        out = []
        for i, written in enumerate(spelled):
            word = written.replace(",", "")
            if word not in said:
                said[word] = self.word(word, habits, rng)
            if word not in LABEL_OF and len(spelled) < 4 and self.owner.get(tuple(p.name for p in said[word]), sentences.GARBAGE) != sentences.GARBAGE:
                return None
            last = i + 1 == len(spelled) or written.endswith(",")
            # Words alone, as they were measured, are longer than words before others.
            factor = tempo * (1.0 if last else 0.82)
            if len(spelled) == 1 and len(said[word]) < 5 and rng.random() < 0.25:
                factor_vowel = rng.uniform(1.2, 1.9)
            else:
                factor_vowel = 1.0
            out.append([
                p._replace(seconds=min(0.45, max(0.028, p.seconds * factor * (factor_vowel if vowel(p) else 1) * exp(rng.gauss(0, spread)))))
                for p in said[word]
            ])
            if written.endswith(","):
                out.append([Phone("pau", rng.uniform(0.12, 0.5))])
            elif not last and rng.random() < 0.08:
                out.append([Phone("pau", rng.uniform(0.04, 0.15))])
        return habits, out


def main():
    import voices

    rng = random.Random(1)
    texts = [sentences.text_of(sentences.sentence(rng) if i % 4 else sentences.digit_run(rng), rng) for i in range(20000)]
    listed = voices.timed_words([dict(text=t) for t in [*texts, " ".join(KNOWN)]])
    accents = Accents({word: phones for _, words in listed for word, phones, _ in words})
    sounds, plain, counts, used = {}, 0, {}, {}
    for i, text in enumerate(texts):
        drawn = accents.sentence(text, random.Random(i))
        if drawn is None:
            continue
        habits, words = drawn
        counts[len(habits)] = counts.get(len(habits), 0) + 1
        for h in habits:
            used[h] = used.get(h, 0) + 1
        said = [w for w in words if w[0].name != "pau"]
        assert len(said) == len(text.split())
        for written, phones in zip(text.split(), said):
            word = written.replace(",", "")
            label = LABEL_OF.get(word)
            assert all(p.name in LENGTH and p.seconds > 0 for p in phones), phones
            if label:
                sounds.setdefault(tuple(p.name for p in phones), set()).add(label)
        if i < 60:
            print(text, "|", " . ".join(" ".join(p.name + (":" + p.mark if p.mark else "") for p in w) for w in words), "|", habits)
    shared = {s: ls for s, ls in sounds.items() if len(ls) > 1}
    assert not shared, shared
    for word, label in LABEL_OF.items():
        way = tuple(n for n, _ in accents.canonical.get(word, []))
        assert sounds.get(way, {label}) == {label} or not way, (word, way, sounds[way])
    print("habits in a sentence:", {k: round(v / sum(counts.values()), 3) for k, v in sorted(counts.items())})
    print("share of sentences:", {k: round(v / sum(counts.values()), 3) for k, v in sorted(used.items(), key=lambda x: -x[1])})
    print(len(sounds), "ways of saying", len({l for ls in sounds.values() for l in ls}), "words, none shared by two")
    for label in "three four five seven eight nine zero one".split():
        print(label, len([s for s, ls in sounds.items() if label in ls]), [" ".join(s) for s, ls in sounds.items() if label in ls][:40])


if __name__ == "__main__":
    main()
