"""Throats for the articulatory synthesiser: what one speaker is like, drawn anew for each sentence.

`settings(text, seed, dictionary)` is one line for gnuspeech.mjs, as a dict. The ranges hang together as in the five
voices that come with the synthesiser: a longer throat goes with a lower voice.
"""

import math
import random
import re

RATE = 44100  # of its sound; at 22050 it gets the speed of short throats wrong

# Words (spelt as in sentences.py) that its dictionary lacks or says oddly, in its own phones.
WORDS = {
    "millilitres": "'m_i_l.i.\"l_ee.t_uh_r_z", "milliliters": "'m_i_l.i.\"l_ee.t_uh_r_z", "milliliter": "'m_i_l.i.\"l_ee.t_uh_r",
    "mils": "'m_i_l_z", "mls": "'e_m.'e_l_z", "degrees": "d_i.'g_r_ee_z", "swirling": "'s_w_er_r.l_i_ng",
    "poured": "'p_aw_r_d", "fower": "'f_uh_uu.uh_r", "niner": "'n_ah_i.n_uh_r", "zeero": "'z_ee.r_uh_uu",
    "twenny": "'t_w_e.n_ee", "thurdy": "'th_er_r.d_ee", "fordy": "'f_aw_r.d_ee", "sevendy": "'s_e.v_uh_n.d_ee",
    "aidy": "'e_i.d_ee", "nindy": "'n_ah_i_n.d_ee", "dessimal": "'d_e_s.i.m_uh_l", "dayseemal": "'d_e_i.s_ee.m_uh_l",
    "temprature": "'t_e_m.p_r_uh.ch_uh_r", "was": "w_o_z", "of": "o_v",
}

# What an accent does to all words of a speaker: (share of speakers, phones, instead). "@" stands before a whole phone.
HABITS = [
    (0.45, r"@(er|aw|ar|uh)_r(?!\W*[aeiou])", r"\1"),  # r only before vowels
    (0.60, r"@uu(_uu)?(?<!uh_uu)", "i_uu"),  # "two" as most people say it, with the tongue in front
    (0.15, r"@uu_uu", "uh_uu"),
    (0.75, r"@(?<!e_)(?<!o_)(?<!ah_)i$", "ee_i"),  # its last "y" is as short as an unstressed vowel
    (0.45, r"@ee_i$", "ee_ee"),
    (0.30, r"@e(?!_i|_uh_r)", "e_e"),
    (0.15, r"@e(?!_i|_e|_uh_r)", "e_uh"),
    (0.30, r"@uh_uu", "aw_u"),
    (0.25, r"@uh_uu", "o_u"),
    (0.25, r"@uh_uu", "uh_u"),
    (0.15, r"@uh_uu", "aw"),
    (0.15, r"@ah_i", "o_i"),
    (0.12, r"@ah_i", "a_i"),
    (0.15, r"@aa", "a"),
    (0.15, r"@o(?!_[iu])", "ar"),
    (0.10, r"@i", "ee"),
    (0.06, r"@th", "f"),
    (0.06, r"@th", "t"),
    (0.10, r"@dh", "d"),
    (0.08, r"@z", "s"),
    (0.06, r"@w", "v"),
    (0.35, r"\.t(?=_[aeiou])", ".d"),
    (0.10, r"@uh_n", "i_n"),
    (0.10, r"@ll", "l"),
]


def read_dictionary(path):
    """{word: phones} of the synthesiser's own dictionary."""
    with open(path, encoding="latin-1") as f:
        return {w: p.split("%")[0] for w, _, p in (line.strip().partition(" ") for line in f) if p}


def phones(word, dictionary, habits):
    said = WORDS.get(word) or dictionary.get(word)
    if said is None and word.endswith("s") and word[:-1] in dictionary:
        said = dictionary[word[:-1]] + ("_s" if dictionary[word[:-1]][-1] in "ptkf" else "_z")
    if said is None:
        return None
    for before, after in habits:
        said = re.sub(before.replace("@", "(?<![a-z])") + "(?![a-z])", after, said)
    return said


def drawn_out(said, rng, share):
    """The last syllable before a pause takes its time, which the synthesiser leaves out; its vowel in a share of cases."""
    said = re.sub(r"(?<![a-z])([nml]|ll|ng)$", r"\1_\1", said)
    if rng.random() < share:
        said = re.sub(r"(?<![a-z])(aa|ah|ar|aw|ee|er|uh|uu|[aeiou])((_[nmlr])*)$", r"\1_\1\2", said)
    return said


def listed(values):
    return "".join(f"{name} = {value if isinstance(value, (int, str)) else format(value, '.3f')}\n" for name, value in values.items())


def settings(text, seed, dictionary):
    rng = random.Random(seed)

    def near(middle, sd, low, high):
        return min(high, max(low, rng.gauss(middle, sd)))

    def about(sd):
        return math.exp(near(0, sd, -2.2 * sd, 2.2 * sd))

    who = rng.random()
    if who < 0.5:  # men
        length, pitch = near(17.0, 0.7, 15.6, 18.5), near(-11, 2.8, -16, -4)
    elif who < 0.85:  # women
        length, pitch = near(14.6, 0.6, 13.3, 15.9), near(-0.5, 2.3, -5, 4)
    else:  # children
        length, pitch = rng.uniform(11.5, 13.5), near(2.5, 1.8, -1, 6)
    fall = near(20 if length > 16 else 24, 7, 8, 36)
    voice = {
        "vocal_tract_length": length,
        "glottal_pulse_tp": near(40, 4, 28, 50),
        "glottal_pulse_tn_min": fall,
        "glottal_pulse_tn_max": fall + rng.choice([0, 0, rng.uniform(0, 8)]),
        "reference_glottal_pitch": pitch,
        "breathiness": math.exp(near(math.log(1.2), 0.8, math.log(0.3), math.log(6))),
        "aperture_radius": 3.05 * about(0.08),
    }
    for i, radius in enumerate([1.35, 1.96, 1.91, 1.3, 0.73]):
        voice[f"nose_radius_{i + 1}"] = radius * about(0.12)
    voice["global_nose_radius_coef"] = about(0.1)
    for i in range(8):
        voice[f"radius_{i + 1}_coef"] = about(0.11)
    voice["global_radius_coef"] = about(0.06)
    tempo = math.exp(near(-0.06, 0.2, math.log(0.72), math.log(1.6)))

    def on(share):
        return int(rng.random() < share)

    model = {
        "control_rate": 250.0, "voice_name": "male", "tempo": tempo, "pitch_offset": near(-4, 1, -6, -2),
        "drift_deviation": rng.uniform(0.2, 1.5), "drift_lowpass_cutoff": rng.uniform(0.4, 2.0),
        "micro_intonation": on(0.85), "macro_intonation": on(0.88), "intonation_drift": on(0.9), "random_intonation": on(0.6),
        "notional_pitch": near(1, 2, -3, 4), "pretonic_range": near(-1, 2, -5, 4), "pretonic_lift": near(4, 1.5, 0, 7),
        "tonic_range": near(-6, 4, -12, 5), "tonic_movement": near(4, 1.5, 0, 7),
        "dictionary_1_file": "words.txt", "dictionary_2_file": "none", "dictionary_3_file": "none",
    }
    tube = {
        "output_rate": RATE * 1.0, "volume": 60.0, "channels": 1, "balance": 0.0, "waveform": 0, "vocal_tract_length_offset": 0.0,
        "temperature": near(32, 1, 29, 35), "loss_factor": near(0.8, 0.3, 0.2, 1.6), "mouth_coefficient": near(5000, 500, 3800, 6000),
        "nose_coefficient": near(5000, 500, 3800, 6000), "throat_cutoff": near(1500, 200, 1000, 2000),
        "throat_volume": near(6, 4, 0, 14), "noise_modulation": 1, "mix_offset": near(48, 3, 40, 54),
    }
    habits = [habit[1:] for habit in HABITS if rng.random() < habit[0]]
    spread = {"radius": rng.uniform(0, 0.11), "friction": rng.uniform(0.02, 0.12), "duration": rng.uniform(0.03, 0.16)}
    words = {}
    spoken = text.split()
    for i, word in enumerate(spoken):
        before_pause = word.endswith(",") or i + 1 == len(spoken)
        word = word.strip(",")
        if word in words:
            continue
        said = phones(word, dictionary, habits)
        if said and rng.random() < (0.9 if before_pause else 0.35):
            said = drawn_out(said, rng, 0.7 if before_pause else 0.4)
        if word == "a" and rng.random() < 0.7:
            said = "uh"
        if said is None:
            model["dictionary_3_file"] = "MainDictionary.txt"
        else:
            words[word] = f"{word} {said}%a"
    end = rng.choice("......?!,,")
    files = {
        "voice_male.txt": listed(voice), "trm_control_model.txt": listed(model), "trm.txt": listed(tube),
        "words.txt": "\n" + "\n".join(words[w] for w in sorted(words)) + "\n",
    }
    return dict(text=text + end, seed=seed, files=files, spread=spread, hiss=rng.uniform(0, 9)), length
