"""The net and the last steps of its features. The TypeScript in ../features.ts and ../net.ts does the same."""

import math

import numpy as np
import torch
from torch import nn
from torch.nn import functional as F

RATE, WINDOW, HOP, FFT, BANDS = 16000, 400, 160, 512, 40
LOW_HZ, HIGH_HZ = 80.0, 7600.0
LOUD_RANK = 8  # the level of an utterance is its 8th loudest frame: a click of 50 ms does not set it
FLOOR = 1e-6  # 60 dB under that level


def mel(hz):
    return 2595.0 * math.log10(1.0 + hz / 700.0)


def band_edges():
    """Edges of the bands, Hz: equal steps of mel."""
    return [700.0 * (10 ** (m / 2595.0) - 1.0) for m in np.linspace(mel(LOW_HZ), mel(HIGH_HZ), BANDS + 2)]


def filterbank(edges=None):
    """(FFT/2+1, BANDS) triangles between `edges`; by default those of the product."""
    edges = band_edges() if edges is None else edges
    bank = np.zeros((FFT // 2 + 1, BANDS))
    hz = np.arange(FFT // 2 + 1) * RATE / FFT
    for b in range(BANDS):
        left, mid, right = edges[b : b + 3]
        up = (hz - left) / (mid - left)
        down = (right - hz) / (right - mid)
        bank[:, b] = np.maximum(0.0, np.minimum(up, down)) * 2.0 / (right - left) * 100.0
    return bank


def window():
    return torch.tensor(0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / WINDOW), dtype=torch.float32)


def power_spectrum(sound, win):
    """(B, samples) -> (B, frames, FFT/2+1). Frames start at multiples of HOP; the last ones that fit."""
    frames = sound.unfold(1, WINDOW, HOP) * win
    return torch.fft.rfft(frames, n=FFT).abs().square()


def normalised(mel_power):
    """(B, frames, BANDS) band powers -> features about 0 +- 1."""
    energy = mel_power.sum(2)
    k = min(LOUD_RANK, energy.shape[1])
    level = energy.topk(k, dim=1).values[:, -1] / BANDS
    scaled = mel_power / (level[:, None, None] + 1e-12)
    return (torch.log(scaled + FLOOR) + 5.0) / 4.0


class Block(nn.Module):
    def __init__(self, width, kernel, dilation, squeeze, drop):
        super().__init__()
        self.depth = nn.Conv1d(width, width, kernel, padding=dilation * (kernel // 2), dilation=dilation, groups=width, bias=False)
        self.point = nn.Conv1d(width, width, 1, bias=False)
        self.norm = nn.BatchNorm1d(width)
        self.down = nn.Linear(width, squeeze)
        self.up = nn.Linear(squeeze, width)
        self.drop = nn.Dropout(drop)

    def forward(self, x):
        y = self.norm(self.point(self.depth(x)))
        gate = torch.sigmoid(self.up(torch.relu(self.down(y.mean(2)))))
        return x + self.drop(torch.relu(y) * gate[:, :, None])


class Net(nn.Module):
    def __init__(self, labels, phones=0, width=176, stem=128, blocks=10, kernel=9, squeeze=20, drop=0.1, dilations=(1, 1, 2)):
        super().__init__()
        self.config = dict(labels=labels, width=width, stem=stem, blocks=blocks, kernel=kernel, squeeze=squeeze, dilations=list(dilations))
        self.stem = nn.Conv1d(BANDS, stem, 5, stride=2, padding=2, bias=False)
        self.stem_norm = nn.BatchNorm1d(stem)
        self.widen_depth = nn.Conv1d(stem, stem, 5, stride=2, padding=2, groups=stem, bias=False)
        self.widen = nn.Conv1d(stem, width, 1, bias=False)
        self.widen_norm = nn.BatchNorm1d(width)
        self.blocks = nn.ModuleList(
            Block(width, kernel, dilations[i % len(dilations)], squeeze, drop) for i in range(blocks)
        )
        self.head = nn.Conv1d(width, labels, 1)
        self.phone_head = nn.Conv1d(width, phones, 1) if phones else None
        self.phone_at = blocks // 2

    def forward(self, features):
        """(B, frames, BANDS) -> log probabilities (B, frames/4, labels), and of phones in training."""
        x = features.transpose(1, 2)
        x = torch.relu(self.stem_norm(self.stem(x)))
        x = torch.relu(self.widen_norm(self.widen(self.widen_depth(x))))
        phones = None
        for i, block in enumerate(self.blocks):
            x = block(x)
            if self.phone_head is not None and i + 1 == self.phone_at:
                phones = F.log_softmax(self.phone_head(x).transpose(1, 2).float(), 2)
        return F.log_softmax(self.head(x).transpose(1, 2).float(), 2), phones


def parameters(net):
    return sum(p.numel() for n, p in net.named_parameters() if not n.startswith("phone_head"))
