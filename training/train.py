"""Trains the net on packs of synthesise.py: python3 train.py --packs A.pack B.pack … --test T.pack … --out FOLDER

Everything that makes the sound worse happens here, anew for each batch, on the GPU if there is one: other vocal tracts
and speeds, rooms, noise of many kinds, narrow lines, clipping, coarse converters. Writes FOLDER/NAME.pt and prints the
figures of the held-out packs (greedy words, no grammar).
"""

import argparse
import json
import math
import os
import random
import time
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import torch
import torch.distributed as dist
from torch.nn import functional as F

import earfile
import net as netfile
import pack
import sentences

RATE = netfile.RATE
GARBAGE = sentences.LABELS.index(sentences.GARBAGE)


def read_slice(args):
    path, part, parts = args
    count = [-1]

    def keep(_):
        count[0] += 1
        return count[0] % parts == part

    out = []
    for meta, sound in pack.read(path, keep):
        meta["labels"] = [sentences.LABELS.index(word) for word in meta["words"]]
        out.append((meta, (np.clip(sound, -1, 1) * 32767).astype(np.int16)))
    return out


def read_packs(paths, workers):
    jobs = [(p, i, workers) for p in paths for i in range(workers)]
    clips = []
    with ProcessPoolExecutor(workers) as pool:
        for got in pool.map(read_slice, jobs):
            clips += got
    clips.sort(key=lambda c: (c[0]["voice"], c[0]["text"], len(c[1])))  # the same order whatever the workers
    return clips


# ---- noise, all made here ------------------------------------------------------------------------------------------


def coloured(b, n, device):
    """(b, n) noise of random colour: a random slope and a random wavy response over log frequency; RMS 1."""
    size = 1 << (n - 1).bit_length()
    spec = torch.fft.rfft(torch.randn(b, size, device=device))
    f = torch.arange(spec.shape[1], device=device).clamp(min=1) / spec.shape[1]
    octave = torch.log2(f) + 10  # 0..10
    slope = torch.empty(b, 1, device=device).uniform_(-1.0, 3.0)
    points = torch.randn(b, 11, device=device) * torch.empty(b, 1, device=device).uniform_(0, 1.4)
    i = octave.clamp(0, 9.999).floor().long()
    frac = octave.clamp(0, 9.999) - i
    wavy = points[:, i] * (1 - frac) + points[:, i + 1] * frac
    gain = torch.exp(wavy - 0.5 * slope * 0.693 * octave)
    x = torch.fft.irfft(spec * gain, n=size)[:, :n]
    return x / (x.std(1, keepdim=True) + 1e-9)


def wobble(b, n, device):
    """A slowly varying loudness (b, n): swirling, gusts, steps."""
    points = random.choice([4, 8, 16, 32])
    depth = torch.empty(b, 1, device=device).uniform_(0, 1.6)
    c = torch.randn(b, 1, points, device=device)
    return torch.exp(F.interpolate(c, size=n, mode="linear", align_corners=True)[:, 0] * depth)


def make_events(count, n, rng):
    """(count, n) drops and bubbles, clicks, thuds, beeps and hum as numpy: things that happen on a bench."""
    out = np.zeros((count, n), np.float32)
    t = np.arange(int(0.6 * RATE)) / RATE
    for row in out:
        kind = rng.integers(6)
        if kind == 5:  # mains hum and a fan tone
            base = rng.choice([50, 60, 100, 120]) * (1 + rng.normal() * 0.002)
            tt = np.arange(n) / RATE
            for h in range(1, rng.integers(2, 14)):
                row += rng.exponential() / h * np.sin(2 * np.pi * base * h * tt + rng.uniform(0, 6.28))
            continue
        for _ in range(rng.integers(1, [60, 8, 5, 4, 40][kind])):
            at = rng.integers(0, n - 200)
            if kind == 0 or kind == 4:  # bubbles and drops: short tones that rise as they die
                f0, decay = rng.uniform(300, 4500), rng.uniform(0.003, 0.04)
                e = np.exp(-t / decay) * np.sin(2 * np.pi * (f0 * t + f0 * rng.uniform(0, 6) * t * t))
            elif kind == 1:  # clicks and knocks
                e = np.exp(-t / rng.uniform(0.0005, 0.02)) * rng.normal(size=len(t))
            elif kind == 2:  # thuds, doors, chairs: dull or rough, some of them rising as they die
                rough = rng.normal(size=len(t)) * rng.choice([0, rng.uniform(0, 0.6)])
                e = np.exp(-t / rng.uniform(0.02, 0.15)) * np.sin(2 * np.pi * rng.uniform(50, 300) * t * (1 + rng.choice([0, 1]) * rng.uniform(-0.3, 1.5) * t) + rough)
            else:  # beeps and cues
                length = rng.uniform(0.05, 0.5)
                e = (t < length) * np.sin(2 * np.pi * rng.uniform(250, 3500) * t) * rng.uniform(0.3, 1)
            e = e[: n - at]
            row[at : at + len(e)] += e * rng.exponential()
    rms = np.sqrt((out**2).mean(1, keepdims=True)) + 1e-9
    return out / rms


def other_throat(rng, spread):
    """
    A filterbank as another speaker's vocal tract would shift it: all formants together (standard deviation 9 %), and
    each region of the spectrum by itself (5 %), since accents move the formants of a vowel apart; all times `spread`; 8 kHz stays
    in place.
    """
    knots = np.array([0.0, 400.0, 900.0, 1600.0, 2600.0, 4000.0, 5600.0, 8000.0])
    while True:
        together, apart = np.clip(rng.normal() * 0.09, -0.2, 0.2), np.clip(rng.normal(size=len(knots)) * 0.05, -0.1, 0.1)
        shift = np.exp(spread * (together + apart))
        moved = knots * shift
        moved[-1] = 8000.0
        if (np.diff(moved) > 0.5 * np.diff(knots)).all():
            return netfile.filterbank([float(np.interp(e, knots, moved)) for e in netfile.band_edges()])


# Share of the clips of a batch that each kind of people's recordings has; the rest are synthetic.
SHARES = {"phone": 0.15, "digits": 0.09, "words": 0.07, "strangers": 0.14}


def shares(meta):
    """
    (clips) chance of each clip to be drawn: kinds by SHARES, within a kind every person alike (so that nobody's accent
    pays for another's), and of the synthetic voices every clip alike.
    """
    kinds = [m.get("kind", "") for m in meta]
    persons = {}
    for i, m in enumerate(meta):
        if kinds[i]:
            persons.setdefault(kinds[i], {}).setdefault(m["voice"], []).append(i)
    out = np.zeros(len(meta))
    for kind, groups in persons.items():
        # A person of few clips is not repeated for ever: by the square root of their number.
        total = sum(len(g) ** 0.5 for g in groups.values())
        for group in groups.values():
            out[group] = SHARES[kind] * len(group) ** 0.5 / total / len(group)
    rest = [i for i, k in enumerate(kinds) if not k]
    out[rest] = (1 - sum(SHARES[k] for k in persons)) / max(1, len(rest))
    return out / out.sum()


class Data:
    def __init__(self, clips, device):
        self.device = device
        self.meta = [c[0] for c in clips]
        lengths = np.array([len(c[1]) for c in clips])
        self.length = torch.tensor(lengths, device=device)
        self.start = torch.tensor(np.concatenate([[0], np.cumsum(lengths)[:-1]]), device=device)
        self.flat = torch.from_numpy(np.concatenate([c[1] for c in clips])).to(device)
        self.seconds = lengths / RATE
        # Where strangers' sentences of people lie in `flat`, for talk in the background: clips are sorted by voice.
        people = [i for i, m in enumerate(self.meta) if m.get("kind") == "strangers"]
        ends = np.concatenate([[0], np.cumsum(lengths)])
        self.talk = (int(ends[people[0]]), int(ends[people[-1] + 1])) if people else None
        self.share = shares(self.meta)


class Spoiler:
    """Batches of spoilt sound."""

    def __init__(self, data, device, seed, spread=1.0):
        self.data, self.device, self.spread = data, device, spread
        self.events = torch.from_numpy(make_events(384, 6 * RATE, np.random.default_rng(seed))).to(device)
        throats = np.random.default_rng(seed + 1)
        self.banks = torch.tensor(np.stack([other_throat(throats, spread) for _ in range(400)]), dtype=torch.float32, device=device)
        self.win = netfile.window().to(device)

    def take(self, index, begin, speed, n):
        """
        Clips `index` laid into (b, n) from sample `begin`, played at `speed`; -1 is no clip. The first consonant and
        the last are often faint or cut off in real recordings (weak "th" and "f", a late trigger): so here too.
        """
        d = self.data
        b = len(index)
        i = index.clamp(min=0)
        rand = lambda: torch.rand(b, 1, device=self.device)
        # Half of all wander in speed and pitch as they go, by up to a fifth (times `spread`), one to four times a second.
        depth, turns = 0.2 * self.spread * rand() * (rand() < 0.5), 2 * math.pi * (1 + 3 * rand())
        t = (torch.arange(n, device=self.device)[None, :] - begin[:, None]) / RATE
        phase = 2 * math.pi * rand()
        pos = (t + depth / turns * (torch.sin(turns * t + phase) - torch.sin(phase))) * RATE * speed[:, None]
        length = d.length[i][:, None]
        inside = (pos >= 0) & (pos < length - 1) & (index >= 0)[:, None]
        pos = pos.clamp(min=0)
        whole = torch.minimum(pos.long(), length - 2)
        frac = pos - whole
        at = d.start[i][:, None] + whole
        x = d.flat[at].float() * (1 - frac) + d.flat[at + 1].float() * frac
        some = lambda share, most: torch.where(
            rand() < share, rand() * most * RATE, torch.zeros((), device=self.device)
        )
        left = rand() * 0.5 * (rand() < 0.5)
        head = torch.sigmoid((pos - some(0.35, 0.09)) / 30)
        tail = torch.sigmoid((length - some(0.2, 0.08) - pos) / 30)
        x = x * (left + (1 - left) * head) * (left + (1 - left) * tail)
        return torch.where(inside, x / 32768, torch.zeros((), device=self.device)), inside

    def babble(self, b, n, fewest):
        """Other talkers, from `fewest` (b, 1) to seven of them; half of the time those of real people alone."""
        d = self.data
        x = torch.zeros(b, n, device=self.device)
        talkers = torch.maximum(torch.randint(1, 8, (b, 1), device=self.device), fewest)
        talkers = torch.where((torch.rand(b, 1, device=self.device) < 0.4) & (fewest < 2), torch.randint(1, 3, (b, 1), device=self.device), talkers)
        for k in range(7):
            at = torch.randint(0, len(d.flat) - n - 1, (b, 1), device=self.device)
            if d.talk is not None:
                low, high = d.talk
                of_people = low + torch.randint(0, max(1, high - low - n - 1), (b, 1), device=self.device)
                at = torch.where(torch.rand(b, 1, device=self.device) < 0.5, of_people, at)
            part = d.flat[at + torch.arange(n, device=self.device)].float() / 32768
            x = x + part * (k < talkers) * torch.rand(b, 1, device=self.device)
        return x / (x.std(1, keepdim=True) + 1e-6)

    def rooms(self, b):
        n = int(0.6 * RATE)
        t = torch.arange(n, device=self.device) / RATE
        rt = torch.empty(b, 1, device=self.device).uniform_(0.08, 0.8)
        h = torch.randn(b, n, device=self.device) * torch.exp(-6.9 * t / rt)
        h = h * (torch.rand(b, n, device=self.device) < (0.02 + t / 0.08).clamp(max=1))  # sparse early echoes
        h = h / (h.square().sum(1, keepdim=True).sqrt() + 1e-9)
        direct = 10 ** (torch.empty(b, 1, device=self.device).uniform_(-4, 18) / 20)
        h = h / direct
        h[:, 0] = 1.0
        return h / h.square().sum(1, keepdim=True).sqrt()

    def batch(self, first, second, gap, speed, lead, n):
        """Features (b, frames, bands). `first`, `second`: clip numbers, -1 for none. All tensors of length b."""
        dev, b = self.device, len(first)
        rand = lambda: torch.rand(b, 1, device=dev)
        x, on = self.take(first, lead, speed, n)
        if (second >= 0).any():
            after = lead + (self.data.length[first.clamp(min=0)] / speed).long() + gap
            y, on2 = self.take(second, after, speed, n)
            x = x + y * 10 ** (torch.empty(b, 1, device=dev).uniform_(-6, 6) / 20)
            on = on | on2
        size = 1 << (n + 8000).bit_length()
        room = self.rooms(b)
        wet = torch.fft.irfft(torch.fft.rfft(x, n=size) * torch.fft.rfft(room, n=size), n=size)[:, :n]
        x = torch.where(rand() < 0.55, wet, x)
        power = (x.square() * on).sum(1, keepdim=True) / on.sum(1, keepdim=True).clamp(min=1)
        power = torch.where((first >= 0)[:, None], power, torch.full_like(power, 0.01))
        # One main noise, and something happening on the bench now and then.
        noise = coloured(b, n, dev)
        noise = torch.where(rand() < 0.5, noise * wobble(b, n, dev), noise)
        noise = noise / (noise.square().mean(1, keepdim=True).sqrt() + 1e-9)
        # Talk of others lies under the call and is not labelled: who is clearly louder is the caller. Talk without a call
        # is a crowd's murmur; one talker alone would be a stranger.
        alone = (first < 0)[:, None]
        talk = rand() < 0.34
        noise = torch.where(talk, self.babble(b, n, torch.where(alone, 5, 1)), noise)
        pick = torch.randint(0, len(self.events), (b,), device=dev)
        shift = torch.randint(0, self.events.shape[1] - n, (1,)).item() if n < self.events.shape[1] else 0
        events = self.events[pick][:, shift : shift + n]
        db = torch.empty(b, 1, device=dev).uniform_(-2, 45)
        db = torch.where(rand() < 0.12, torch.full_like(db, 80.0), db)
        db = torch.where(talk, torch.empty(b, 1, device=dev).uniform_(3, 25), db)
        db_events = torch.where(rand() < 0.3, torch.empty(b, 1, device=dev).uniform_(0, 35), torch.full_like(db, 90.0))
        db = torch.where(alone, torch.empty(b, 1, device=dev).uniform_(-5, 60), db)
        db_events = torch.where(alone & (rand() < 0.65), torch.empty(b, 1, device=dev).uniform_(-10, 10), db_events)
        x = x + noise * (power * 10 ** (-db / 10)).sqrt() + events * (power * 10 ** (-db_events / 10)).sqrt()
        # Level, clipping, coarse converters, the floor of the converter.
        peak = x.abs().amax(1, keepdim=True) + 1e-6
        x = x / peak * torch.where(rand() < 0.12, 1 + 4 * rand(), 0.02 + 0.9 * rand())
        x = x.clamp(-1, 1)
        coarse = torch.round(x * 127) / 127
        x = torch.where(rand() < 0.04, coarse, x)
        # Recordings that are trimmed tight or gated: nothing at all before and after.
        at = torch.arange(n, device=dev)[None, :]
        start = on.float().argmax(1, keepdim=True) - rand() * 0.1 * RATE
        stop = n - on.flip(1).float().argmax(1, keepdim=True) + rand() * 0.1 * RATE
        x = torch.where((rand() < 0.2) & ~alone & ((at < start) | (at >= stop)), torch.zeros((), device=dev), x)
        x = x + torch.randn_like(x) * 10 ** (torch.empty(b, 1, device=dev).uniform_(-110, -60) / 20)
        spec = netfile.power_spectrum(x, self.win)
        # Microphone colour and narrow lines, on the spectrum.
        hz = torch.arange(spec.shape[2], device=dev) * RATE / netfile.FFT
        top = torch.where(rand() < 0.5, torch.empty(b, 1, device=dev).uniform_(3200, 4100), torch.where(rand() < 0.2, torch.empty(b, 1, device=dev).uniform_(4500, 8000), torch.full((b, 1), 9000.0, device=dev)))
        bottom = torch.where(rand() < 0.45, torch.empty(b, 1, device=dev).uniform_(80, 350), torch.zeros(b, 1, device=dev))
        gain = torch.sigmoid((top - hz) / 40) * torch.sigmoid((hz - bottom) / 25 + 6 * (bottom == 0))
        octave = torch.log2(hz.clamp(min=40) / 40).clamp(max=7.999)
        points = torch.randn(b, 9, device=dev) * torch.empty(b, 1, device=dev).uniform_(0, 1.4)
        points = points + (torch.arange(9, device=dev) - 5) * torch.empty(b, 1, device=dev).uniform_(-0.5, 0.7)  # dark and bright
        i = octave.floor().long()
        gain = gain * torch.exp(points[:, i] * (1 - (octave - i)) + points[:, i + 1] * (octave - i))
        spec = spec * (gain + 1e-9)[:, None, :]
        # Another vocal tract; for a third it changes on the way, so that vowels of one sentence move differently.
        one, two = (self.banks[torch.randint(0, len(self.banks), (b,), device=dev)] for _ in range(2))
        frame = torch.arange(spec.shape[1], device=dev)[None, :] / spec.shape[1]
        turn = torch.sigmoid((frame - rand()) * 12)[:, :, None] * (rand() < 0.35)[:, :, None]
        features = netfile.normalised(torch.bmm(spec, one) * (1 - turn) + torch.bmm(spec, two) * turn)
        return self.masked(features)

    def masked(self, x):
        b, t, f = x.shape
        dev = self.device
        for width, axis, size in ((7, 2, f), (7, 2, f), (9, 1, t), (9, 1, t)):
            w = torch.randint(0, width, (b, 1), device=dev) * (torch.rand(b, 1, device=dev) < 0.5)
            at = (torch.rand(b, 1, device=dev) * (size - w)).long()
            r = torch.arange(size, device=dev)[None, :]
            hole = (r >= at) & (r < at + w)
            x = x.masked_fill(hole[:, None, :] if axis == 2 else hole[:, :, None], -0.8)
        return x


def join(a, b):
    return a + b[1:] if a and b and a[-1] == GARBAGE and b[0] == GARBAGE else a + b


def batches(data, phones, rng, seconds_a_batch):
    """Endless: lists of (first, second, gap, speed, lead, n, labels, phone labels)."""
    count = len(data.meta)
    while True:
        pool = []
        for i in rng.choice(count, size=8192, p=data.share):
            if rng.random() < 0.09:
                pool.append((-1, -1, 0, 1.0, 0, int(rng.uniform(0.5, 2.5) * RATE), [], []))
                continue
            speed = float(np.exp(rng.normal() * 0.09))
            first, second, gap = int(i), -1, 0
            # Mostly cut as the product cuts; some with a second of room around, since the gates see the mean over time,
            # and some cut to the sound itself, as files often are.
            room = rng.choice([0.02, 0.5, 1.3], p=[0.15, 0.7, 0.15])
            lead = int(rng.uniform(0.0, room) * RATE)
            total = lead + data.seconds[first] * RATE / speed
            labels, ph = data.meta[first]["labels"], phones[first]
            if rng.random() < 0.12:
                j = int(rng.choice(count, p=data.share))
                if data.seconds[j] < 2.0:
                    second, gap = j, int(rng.uniform(0.05, 0.5) * RATE)
                    total += gap + data.seconds[j] * RATE / speed
                    labels, ph = join(labels, data.meta[j]["labels"]), ph + phones[j]
            total += rng.uniform(0.01, room) * RATE
            if total > 5.9 * RATE:
                continue
            pool.append((first, second, gap, speed, lead, int(total), labels, ph))
        pool.sort(key=lambda p: p[5])
        groups, group = [], []
        for p in pool:
            if group and (len(group) + 1) * p[5] > seconds_a_batch * RATE:
                groups.append(group)
                group = []
            group.append(p)
        for k in rng.permutation(len(groups)):
            yield groups[k]


def find_norms(net, batch):
    """Gives batch norms that were folded into plain biases the statistics of a batch, without changing what the net says."""
    hooks = []
    for module in net.modules():
        if isinstance(module, torch.nn.BatchNorm1d):

            def measure(norm, given, _=None):
                x = given[0]
                mean, var = x.mean((0, 2)), x.var((0, 2)).clamp(min=1e-4)
                gain = norm.weight.data / (norm.running_var + norm.eps).sqrt()
                bias = norm.bias.data - gain * norm.running_mean
                norm.bias.data = bias + gain * mean
                norm.weight.data = gain * (var + norm.eps).sqrt()
                norm.running_mean, norm.running_var = mean, var

            hooks.append(module.register_forward_pre_hook(measure))
    net.eval()
    with torch.no_grad():
        net(batch)
    for hook in hooks:
        hook.remove()


def greedy(logp):
    """Label lists by best path."""
    best = logp.argmax(2).cpu().numpy()
    out = []
    for row in best:
        keep = [int(v) for i, v in enumerate(row) if v != 0 and (i == 0 or row[i - 1] != v)]
        out.append(keep)
    return out


def evaluate(net, clips, device, snr_db, seed=7):
    """Share of sentences with every word right, by voice; pink noise at `snr_db` of the active speech."""
    g = np.random.default_rng(seed)
    win = netfile.window().to(device)
    bank = torch.tensor(netfile.filterbank(), dtype=torch.float32, device=device)
    right, total, spoken = {}, {}, 0
    order = sorted(range(len(clips)), key=lambda i: len(clips[i][1]))
    for at in range(0, len(order), 64):
        part = [clips[i] for i in order[at : at + 64]]
        n = max(len(c[1]) for c in part) + int(0.5 * RATE)
        x = np.zeros((len(part), n), np.float32)
        for row, (_, s) in zip(x, part):
            row[4000 : 4000 + len(s)] = s / 32768.0
            row += g.normal(size=n) * 1e-4
            if snr_db is not None:
                white = np.fft.rfft(g.normal(size=n))
                f = np.arange(len(white)).clip(1)
                pink = np.fft.irfft(white / np.sqrt(f), n=n)
                pink /= pink.std()
                frames = (s[: len(s) // 160 * 160].reshape(-1, 160) / 32768.0) ** 2
                e = frames.mean(1)
                active = e[e > e.max() * 1e-3].mean()
                row += pink * np.sqrt(active * 10 ** (-snr_db / 10))
        spec = netfile.power_spectrum(torch.from_numpy(x).to(device), win)
        with torch.no_grad():
            logp, _ = net(netfile.normalised(spec @ bank))
        for (m, _), got in zip(part, greedy(logp)):
            v = m["voice"]
            total[v] = total.get(v, 0) + 1
            right[v] = right.get(v, 0) + (got == m["labels"])
    rows = {v: round(100 * right[v] / total[v], 1) for v in sorted(total)}
    return round(100 * sum(right.values()) / sum(total.values()), 2), rows


def save(a, net, phones, steps, report, data):
    os.makedirs(a.out, exist_ok=True)
    torch.save(
        dict(net=net.state_dict(), config=net.config, labels=sentences.LABELS, phones=phones, seed=a.seed, steps=steps,
             report=report, hours=float(data.seconds.sum() / 3600), clips=len(data.meta), packs=[os.path.basename(p) for p in a.packs]),
        os.path.join(a.out, a.name + ".pt"),
    )


def main():
    a = argparse.ArgumentParser()
    a.add_argument("--packs", nargs="+", required=True)
    a.add_argument("--test", nargs="*", default=[])
    a.add_argument("--out", required=True)
    a.add_argument("--name", default="ear")
    a.add_argument("--minutes", type=float, default=8.0)
    a.add_argument("--seed", type=int, default=1)
    a.add_argument("--lr", type=float, default=2.5e-3)
    a.add_argument("--batch-seconds", type=float, default=500)
    a.add_argument("--steps", type=int, default=0, help="instead of --minutes")
    a.add_argument("--stop", type=int, help="end after so many of --steps, with the learning rate of that step")
    a.add_argument("--init", help="go on from this .pt, with its batch norms left as they are")
    a.add_argument("--spread", type=float, default=1.0, help="how far other vocal tracts and wandering speeds go")
    a.add_argument("--phone-weight", type=float, default=0.15)
    a.add_argument("--net", default="{}", help="JSON of net settings")
    a.add_argument("--workers", type=int, default=os.cpu_count())
    a.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    a.add_argument("--judge", type=int, default=3000, help="steps between looks at the held-out packs")
    a.add_argument("--without", nargs="*", default=[], help="voices to leave out")
    a = a.parse_args()
    # Started by torchrun on several GPUs, each takes its share of every batch and the gradients are averaged.
    ranks, rank = int(os.environ.get("WORLD_SIZE", 1)), int(os.environ.get("RANK", 0))
    if ranks > 1:
        dist.init_process_group("nccl" if a.device == "cuda" else "gloo")
        if a.device == "cuda":
            a.device = f"cuda:{rank}"
            torch.cuda.set_device(rank)
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    rng = np.random.default_rng(a.seed)  # the same on all, so that batches are cut alike
    device = torch.device(a.device)
    began = time.time()
    clips = [c for c in read_packs(a.packs, a.workers) if not any(c[0]["voice"].startswith(w) for w in a.without)]
    choose = [c for c in clips if c[0].get("choose")]
    clips = [c for c in clips if not c[0].get("choose")]
    # Sorted so that strangers' sentences lie together (Data.talk).
    clips.sort(key=lambda c: c[0].get("kind", ""))
    tests = {os.path.basename(p)[:-5]: read_packs([p], min(4, a.workers)) for p in a.test}
    for kind in sorted({c[0]["kind"] for c in choose}):
        tests["people to choose by: " + kind] = [c for c in choose if c[0]["kind"] == kind and len(c[1]) < 6 * RATE]
    data = Data(clips, device)
    print(f"{len(clips)} clips, {data.seconds.sum() / 3600:.2f} h, read in {time.time() - began:.0f} s", flush=True)
    names = sorted({p for m in data.meta for p in m["phones"].split() if p != "pau"})
    number = {p: i + 1 for i, p in enumerate(names)}
    phones = [[number[p] for p in m["phones"].split() if p != "pau"] for m in data.meta]
    torch.manual_seed(a.seed)
    random.seed(a.seed)
    weights_file = a.init and a.init.endswith(".bin")
    settings = json.loads(a.net)
    if weights_file:
        net = earfile.net_from(a.init, len(names) + 1, more_blocks=settings.get("more_blocks", 0)).to(device)
        settings = dict(blocks=net.config["blocks"])
    else:
        net = netfile.Net(len(sentences.LABELS), len(names) + 1, **settings).to(device)
    print(f"{netfile.parameters(net)} parameters", flush=True)
    if a.init and not weights_file:
        net.load_state_dict(torch.load(a.init, map_location=device)["net"])
    ema = netfile.Net(len(sentences.LABELS), len(names) + 1, **settings).to(device)
    ema.load_state_dict(net.state_dict())
    torch.manual_seed(a.seed + 1000 * rank)
    random.seed(a.seed + 1000 * rank)
    spoiler = Spoiler(data, device, a.seed + rank, a.spread)
    groups = {True: [], False: []}
    for n, p in net.named_parameters():
        groups[p.ndim > 1].append(p)
    opt = torch.optim.AdamW(
        [dict(params=groups[True], weight_decay=0.02), dict(params=groups[False], weight_decay=0.0)], lr=a.lr, betas=(0.9, 0.98),
        **(dict(fused=True) if device.type == "cuda" else {}),
    )
    floats = lambda one: [v for v in one.state_dict().values() if v.dtype.is_floating_point]
    source = batches(data, phones, rng, a.batch_seconds)
    began, step, part = time.time(), 0, 0.0
    weights = [p for p in net.parameters() if p.requires_grad]
    while part < 1 and step != a.stop:
        lr = a.lr * min(1, (step + 1) / 500) * (0.5 + 0.5 * math.cos(math.pi * part)) + 1e-6
        for group in opt.param_groups:
            group["lr"] = lr
        group = next(source)[rank::ranks]
        n = max(p[5] for p in group)
        col = lambda k, t: torch.tensor([p[k] for p in group], dtype=t, device=device)
        with torch.no_grad():
            x = spoiler.batch(col(0, torch.long), col(1, torch.long), col(2, torch.long), col(3, torch.float32), col(4, torch.long), n)
        if step == 0 and weights_file:
            find_norms(net, x)
            ema.load_state_dict(net.state_dict())
        net.train()
        if a.init:
            for module in net.modules():
                if isinstance(module, torch.nn.BatchNorm1d):
                    module.eval()
        logp, phone_logp = net(x)
        lengths = torch.full((len(group),), logp.shape[1], dtype=torch.long)
        parts = []
        for lp, k in ((logp, 6), (phone_logp, 7)):
            flat = torch.tensor([v for p in group for v in p[k]], dtype=torch.long, device=device)
            sizes = torch.tensor([len(p[k]) for p in group], dtype=torch.long)
            each = F.ctc_loss(lp.transpose(0, 1), flat, lengths, sizes, reduction="none", zero_infinity=True)
            parts.append((each / sizes.clamp(min=1).float().sqrt().to(device)).mean())
        loss = parts[0] + a.phone_weight * parts[1]
        opt.zero_grad(set_to_none=True)
        loss.backward()
        part = ((step + 1) / a.steps) if a.steps else (time.time() - began) / (a.minutes * 60)
        if ranks > 1:
            # With the gradients goes each one's idea of the share of time spent, so that all stop together.
            flat = torch.cat([p.grad.reshape(-1) for p in weights if p.grad is not None] + [torch.tensor([part], device=device)])
            dist.all_reduce(flat)
            flat /= ranks
            at = 0
            for p in weights:
                if p.grad is not None:
                    p.grad.copy_(flat[at : at + p.grad.numel()].view_as(p.grad))
                    at += p.grad.numel()
            part = float(flat[-1])
        size = torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        if torch.isfinite(size):
            opt.step()
        with torch.no_grad():
            decay = min(0.999 if not a.init or weights_file else 0.99, (step + 1) / (step + 20))
            torch._foreach_mul_(floats(ema), decay)
            torch._foreach_add_(floats(ema), floats(net), alpha=1 - decay)
        step += 1
        if rank:
            continue
        if step % (100 if a.init else 500) == 0 or step == 20:
            print(f"step {step} {time.time() - began:.0f} s lr {lr:.5f} loss {float(parts[0].detach()):.3f} phones {float(parts[1].detach()):.3f}", flush=True)
        if a.init and step % 300 == 0:
            save(a, ema, names, step, {}, data)
        if step % a.judge == 0:
            save(a, ema, names, step, {}, data)
            ema.eval()
            for name, held in tests.items():
                print(step, name, *[f"{snr}: {evaluate(ema, held[:: 1 + len(held) // 300], device, snr)[0]}" for snr in (None, 10)], flush=True)
    if rank:
        return
    ema.eval()
    save(a, ema, names, step, {}, data)
    print(f"{step} steps in {time.time() - began:.0f} s")
    report = {}
    for name, held in tests.items():
        for snr in (None, 20, 10, 5):
            report[f"{name} {snr}"] = evaluate(ema, held, device, snr)
            print(name, "clean" if snr is None else f"{snr} dB", *report[f"{name} {snr}"], flush=True)
    save(a, ema, names, step, report, data)


if __name__ == "__main__":
    main()
