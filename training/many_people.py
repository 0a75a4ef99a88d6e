"""Speech from the statistics of many people: the states of public acoustic models made to sound.

Two models of Debian (pocketsphinx-en-us and the digits of pocketsphinx-testdata, both BSD-2-Clause) hold, for every
phone in its context, how the spectra of hundreds of American speakers lie, as mixtures of normal distributions. A
sentence is a path through these states. For each sentence the mixtures are leaned towards one random side of all those
speakers; the smoothest path that keeps to the means of spectra, slopes and curvatures is solved for (as usual in
synthesis by hidden Markov models), and a source of pulses and noise is filtered by it. What the models saw of people's
vowels, of weak consonants and of how one runs into the next is in the sound; no recording is.
"""

import os
import struct

import numpy as np
from scipy.linalg import solveh_banded

RATE = 16000
FFT, HOP, FRAME = 512, 80, 160
CEPSTRA = 13
PREEMPHASIS = 0.97


class FrontEnd:
    """How a model turned sound into cepstra (its feat.params), and the mean cepstrum that was taken off."""

    def __init__(self, filters, low, high, lifter, mean):
        self.high, self.lifter, self.mean = high, lifter, np.array(mean)
        self.centres = np.linspace(mel_of(low), mel_of(high), filters + 2)[1:-1]
        k, n = np.arange(CEPSTRA)[:, None], np.arange(filters)[None, :]
        self.cosines = np.cos(np.pi * k * (n + 0.5) / filters) * np.where(k == 0, np.sqrt(1 / filters), np.sqrt(2 / filters))

    def envelope(self, cepstra, sharpness):
        """(frames, FFT/2+1) natural logarithm of the power of a filter."""
        c = cepstra + self.mean
        if self.lifter:
            c = c / (1 + self.lifter / 2 * np.sin(np.pi * np.arange(CEPSTRA) / self.lifter))
        c[:, 1:] *= sharpness
        hz = np.arange(FFT // 2 + 1) * RATE / FFT
        tilt = np.log(np.abs(1 - PREEMPHASIS * np.exp(-2j * np.pi * hz / RATE)) ** 2 + 1e-3)
        return np.array([np.interp(mel_of(hz), self.centres, row) for row in c @ self.cosines]) - tilt - 0.02 * np.maximum(0, hz - self.high)


def mel_of(hz):
    return 2595 * np.log10(1 + np.asarray(hz) / 700)


# The phones of festival's American front end in those of the model.
PHONES = dict(
    ax="AH", axr="ER", dx="D", el="AH L", em="AH M", en="AH N", hv="HH", nx="N", pau="SIL",
    **{p: p.upper() for p in "aa ae ah ao aw ay b ch d dh eh er ey f g hh ih iy jh k l m n ng ow oy p r s sh t th uh uw v w y z zh".split()},
)
# Share of noise in the source of a phone, at low and at high frequencies; the vowels' is drawn for each speaker.
NOISE = {p: (1.0, 1.0) for p in "F HH K P S SH T TH CH SIL".split()}
NOISE |= {"B": (0.1, 0.7), "D": (0.1, 0.7), "G": (0.1, 0.7), "JH": (0.4, 0.95), "DH": (0.15, 0.7), "V": (0.1, 0.7), "Z": (0.3, 0.95), "ZH": (0.3, 0.9)}


class NotTheModel(Exception):
    """The files at MODEL are not those this code was written for."""


def densities(path):
    """Means or variances as (books, values of all streams and parts of a book), and the lengths of the streams."""
    with open(path, "rb") as f:
        data = f.read()
    at = data.index(b"endhdr\n") + 7
    (magic, books, streams, parts), at = struct.unpack("<Iiii", data[at : at + 16]), at + 16
    if magic != 0x11223344:
        raise NotTheModel(path)
    lengths = struct.unpack(f"<{streams}i", data[at : at + 4 * streams])
    at += 4 * streams + 4
    values = np.frombuffer(data, "<f4", books * parts * sum(lengths), at).reshape(books, -1).astype(np.float64)
    ends = np.cumsum([0, *lengths]) * parts
    return [values[:, i:j].reshape(books, parts, -1) for i, j in zip(ends, ends[1:])]


def weights(path, streams, parts, states):
    """(streams, parts, states) shares of the parts of each state's mixture; the layout is written in the file's head."""
    with open(path, "rb") as f:
        data = f.read()
    at, head = 0, {}
    order = "<" if struct.unpack("<i", data[:4])[0] < 10000 else ">"
    while (length := struct.unpack(order + "i", data[at : at + 4])[0]) != 0:
        words = data[at + 4 : at + 3 + length].decode().rsplit(" ", 1)
        head[words[0]] = words[-1]
        at += 4 + length
    at += 4
    if int(head["cluster_count"]):  # two to a byte, each the number of one of 16 values
        packed = np.frombuffer(data, np.uint8, streams * parts * ((states + 1) // 2), at + 16)
        packed = packed.reshape(streams, parts, -1)
        both = np.stack([packed & 15, packed >> 4], -1).reshape(streams, parts, -1)[:, :, :states]
        steps = np.frombuffer(data, np.uint8, 16, at)[both]
    else:
        steps = np.frombuffer(data, np.uint8, streams * parts * states, at + 8).reshape(streams, parts, states)
    # Logarithms to the base 1.0001 with 10 bits cut off.
    return np.exp(-steps.astype(np.float64) * 1024 * 1e-4)


def stays(path):
    """(phones, states) mean frames in a state, from the chance to stay in it."""
    with open(path, "rb") as f:
        data = f.read()
    at = data.index(b"endhdr\n") + 7
    phones, states, after, count = struct.unpack("<4i", data[at + 4 : at + 20])
    chances = np.frombuffer(data, "<f4", count, at + 20).reshape(phones, states, after)
    chances = chances / chances.sum(2, keepdims=True)  # some files hold counts
    return 1 / (1 - np.clip(chances[:, np.arange(states), np.arange(states)], 0, 0.95))


class Definitions:
    """Which states a phone has in its context. The layout is written at the head of the file itself."""

    def __init__(self, path):
        with open(path, "rb") as f:
            data = f.read()
        if data[:4] != b"BMDF":
            raise NotTheModel(path)
        at = 12 + struct.unpack("<i", data[8:12])[0]
        base, phones, states, _, self.states, _, _, _, nodes, _ = struct.unpack("<10i", data[at : at + 40])
        at += 40
        start, names = at, []
        for _ in range(base):
            end = data.index(b"\0", at)
            names.append(data[at:end].decode())
            at = end + 1
        at = start + (at - start + 3) // 4 * 4
        self.number = {n: i for i, n in enumerate(names)}
        self.tree = np.frombuffer(data, np.dtype([("context", "<i2"), ("down", "<i2"), ("to", "<i4")]), nodes, at).tolist()
        at += 8 * nodes
        self.phones = np.frombuffer(data, np.dtype([("states", "<i4"), ("rest", "V8")]), phones, at)["states"]
        at += 12 * phones
        count = struct.unpack("<i", data[at : at + 4])[0]
        self.sequences = np.frombuffer(data, "<i2", count, at + 4).reshape(-1, states)

    def phone(self, position, name, left, right):
        """Number of the phone in this context, or None. The position in its word: 0 inside, 1 first, 2 last, 3 alone."""
        first, count = 0, 4
        for want in (position, *(self.number[n] for n in (name, left, right))):
            for node in range(first, first + count):
                if self.tree[node][0] == want:
                    break
            else:
                return None
            _, count, first = self.tree[node]
            if count == 0:
                return first if first >= 0 else None
        return None

    def of(self, position, name, left, right):
        for tried in (position, 0, 1, 2, 3):
            found = self.phone(tried, name, left, right)
            if found is not None:
                return self.sequences[self.phones[found]]
        return self.sequences[self.phones[self.number[name]]]


class People:
    """
    A model. Its streams are (spectrum, slope, curvature) of 13 cepstra with a book of densities for each phone, or
    (spectrum, short and long slope, loudness with its slope and curvature, curvature) with one book for all and
    loudness apart from the 12 other cepstra.
    """

    def __init__(self, folder, front_end):
        self.front_end = front_end
        self.mean, self.variance = densities(folder + "/means"), densities(folder + "/variances")
        self.definitions = Definitions(folder + "/mdef")
        self.stays = stays(folder + "/transition_matrices")
        self.weight = weights(folder + "/sendump", len(self.mean), self.mean[0].shape[1], self.definitions.states)

    def mixture(self, stream, name, state, towards=None, few=1.0):
        """
        Mean and variance of a state's mixture, its parts weighed by how far they lie towards that side; `few` over 1
        leaves the likeliest parts, since the mean of many people has no formants left.
        """
        book = self.definitions.number[name] if len(self.mean[stream]) > 1 else 0
        weight = self.weight[stream, :, state] / self.weight[stream, :, state].sum()
        mean, variance = self.mean[stream][book], self.variance[stream][book]
        if towards is not None:
            middle = weight @ mean
            spread = np.sqrt(weight @ (mean - middle) ** 2 + 1e-6)
            side = (mean - middle) / spread @ towards
            weight = weight * np.exp(side - side.max())
            weight = (weight / weight.max()) ** few
            weight /= weight.sum()
        middle = weight @ mean
        return np.array([middle, weight @ (variance + (mean - middle) ** 2)])

    def state(self, name, state, towards, few):
        """(3, 2, 13): mean and variance of the spectrum, its slope and its curvature."""
        if len(self.mean) == 3:
            spectrum = self.mixture(0, name, state, np.concatenate([[0], towards]), few)  # loudness is not a side of a speaker
            return np.stack([spectrum, self.mixture(1, name, state), self.mixture(2, name, state)])
        loud = self.mixture(2, name, state)
        rest = [self.mixture(0, name, state, towards, few), self.mixture(1, name, state)[:, :12], self.mixture(3, name, state)]
        return np.stack([np.concatenate([loud[:, i : i + 1], rest[i]], 1) for i in range(3)])

    def seconds(self, name):
        """Usual length of a phone."""
        return float(self.stays[self.definitions.number[name]].sum()) / 100

    def share(self, name):
        """What parts of a phone its states usually take."""
        usual = self.stays[self.definitions.number[name]]
        return usual / usual.sum()

    def cepstra(self, phones, rng):
        """(frames, 13) for [(phone, position in its word, frames)] with silence at both ends; and the phone of each frame."""
        speaker = rng.normal(size=CEPSTRA - 1) * rng.uniform(0, 0.9)
        few = rng.uniform(1, 5)
        own = {p: rng.normal(size=CEPSTRA - 1) * 0.2 for p in self.definitions.number}
        rows, of = [], []
        for i, (name, position, frames) in enumerate(phones):
            left = phones[i - 1][0] if i else "SIL"
            right = phones[i + 1][0] if i + 1 < len(phones) else "SIL"
            states = self.definitions.of(position, name, left, right)
            share = rng.dirichlet(40 * self.share(name))
            ends = np.maximum.accumulate(np.round(np.cumsum(share) * frames)).astype(int)
            ends[-1] = frames
            for state, count in zip(states, np.diff([0, *ends])):
                if count:
                    rows += [self.state(name, state, speaker + own[name], few)] * count
                    of += [name] * count
        return smoothest(np.array(rows)), of


def smoothest(rows):
    """
    The cepstra (frames, 13) of highest likelihood when the slope (two frames ahead less two back) and the curvature (the
    slope of the next frame less that of the frame before) are to keep to their means as well.

    rows: (frames, stream, mean or variance, 13)
    """
    frames = len(rows)
    shapes = ({0: 1.0}, {2: 1.0, -2: -1.0}, {3: 1.0, -1: -1.0, 1: -1.0, -3: 1.0})
    out = np.empty((frames, CEPSTRA))
    for d in range(CEPSTRA):
        band, right = np.zeros((7, frames)), np.zeros(frames)
        for s, shape in enumerate(shapes):
            mean, precision = rows[:, s, 0, d], 1 / rows[:, s, 1, d]
            for t in range(frames):
                if any(not 0 <= t + k < frames for k in shape):
                    continue
                for a, wa in shape.items():
                    right[t + a] += wa * precision[t] * mean[t]
                    for b, wb in shape.items():
                        if b >= a:
                            band[b - a, t + a] += wa * wb * precision[t]
        out[:, d] = solveh_banded(band, right, lower=True)
    return out


def source(of, rng):
    """The two sources, pulses and noise, (samples) each with power 1, and a gain for each (frames, FFT/2+1)."""
    frames = len(of)
    n = frames * FRAME + FFT
    base = np.exp(rng.normal(np.log(rng.choice([110, 125, 190, 210, 260], p=[0.3, 0.25, 0.2, 0.15, 0.1])), 0.12))
    slope, wave, depth = rng.uniform(-0.05, 0.35), rng.uniform(0.5, 3), rng.uniform(0, 0.12)
    t = np.arange(n) / n
    f0 = base * (1 + slope * (0.5 - t) + depth * np.sin(2 * np.pi * (wave * t + rng.uniform())))
    f0 *= 1 + 0.01 * np.repeat(rng.normal(size=n // 160 + 1), 160)[:n]
    phase = np.cumsum(f0 / RATE)
    pulses = np.zeros(n)
    at = np.nonzero(np.diff(np.floor(phase)))[0]
    pulses[at] = np.sqrt(RATE / f0[at])
    breath, edge = rng.uniform(0.0, 0.25), rng.uniform(1500, 5000)
    hz = np.arange(FFT // 2 + 1) * RATE / FFT
    high = 1 / (1 + np.exp(-(hz - edge) / 500))
    share = np.empty((frames, len(hz)))
    for i, name in enumerate(of):
        low, top = NOISE.get(name.split("_")[0], (breath * 0.3, breath + 0.4))
        share[i] = low + (top - low) * high
    kernel = np.hanning(5) / np.hanning(5).sum()
    padded = np.pad(share, ((2, 2), (0, 0)), mode="edge")
    share = sum(kernel[k] * padded[k : k + frames] for k in range(5))
    return pulses, rng.normal(size=n), np.sqrt(1 - share), np.sqrt(share)


def sound(people, phones, rng):
    """One sentence, float32 at RATE. `phones`: [(phone of the model, position in its word, seconds)]."""
    paced = [("SIL", 3, 8)] + [(p, at, max(3, round(s * 100))) for p, at, s in phones] + [("SIL", 3, 8)]
    cepstra, of = people.cepstra(paced, rng)
    envelope = people.front_end.envelope(cepstra, rng.uniform(1.0, 1.7))
    pulses, noise, pulse_gain, noise_gain = source(of, rng)
    window = np.hanning(2 * FRAME + 1)[:-1]
    out = np.zeros(len(pulses) + FFT)
    steps = np.arange(0, len(of) * FRAME - FRAME, HOP)
    at = np.minimum(steps / FRAME, len(of) - 1.001)
    low, part = at.astype(int), (at % 1)[:, None]
    blend = lambda rows: rows[low] * (1 - part) + rows[low + 1] * part
    gain = np.exp(0.5 * (blend(envelope) - envelope.max()))
    cut = lambda x: np.fft.rfft(x[steps[:, None] + np.arange(2 * FRAME)] * window, FFT)
    pieces = np.fft.irfft(gain * (cut(pulses) * blend(pulse_gain) + cut(noise) * blend(noise_gain)), FFT)
    for start, piece in zip(steps, pieces):
        out[start : start + FFT] += piece
    return (out / (np.abs(out).max() + 1e-9) * 0.5).astype(np.float32)


# The cepstral means: of the first model as stated in its feat.params; of the second, which states none, that of the
# feature files beside it (own computation).
def everyone(folder=os.environ.get("POCKETSPHINX", "/usr/share/pocketsphinx")):
    """The model of all English phones."""
    mean = [41.00, -5.29, -0.12, 5.09, 2.48, -4.07, -1.37, -1.78, -5.08, -2.05, -6.45, -1.42, 1.17]
    return People(folder + "/model/en-us/en-us", FrontEnd(25, 130.0, 6800.0, 22, mean))


def digit_speakers(folder=os.environ.get("POCKETSPHINX", "/usr/share/pocketsphinx")):
    """The model of the eleven digits alone, a phone of its own for each word: "AY_five". Nothing over 4 kHz."""
    mean = [31.06, -0.71, 0.18, 0.68, -1.19, -1.06, -0.54, -0.42, -0.16, -0.43, -0.23, -0.23, -0.36]
    return People(folder + "/test/data/tidigits/hmm", FrontEnd(20, 1.0, 4000.0, 0, mean))


# How that model spells the digits; sound for sound the phones of festival's front end.
DIGITS = dict(
    eight="EY T", five="F AY V", four="F OW R", nine="N AY N_2", oh="OW", one="W AX N", seven="S EH V E N", six="S I K S_2",
    three="TH R II", two="T OO", zero="Z II R OW",
)


def digit_phones(word):
    return ["_".join([p.split("_")[0], word, *p.split("_")[1:]]) for p in DIGITS[word].split()]
