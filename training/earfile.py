"""Reads weights as the product has them back into the net: the other way round of export.py.

Batch norms come back as plain biases; a word that the weights do not know starts where "speech that is not ours" is,
but rarer.
"""

import json
import struct

import numpy as np
import torch

import export
import net as netfile
import sentences


def read(path):
    """(header, {name: matrix}) of a weights file."""
    with open(path, "rb") as f:
        data = f.read()
    at = len(export.MAGIC)
    if data[:at] != export.MAGIC:
        raise ValueError(f"{path} holds no weights")
    (length,) = struct.unpack("<I", data[at : at + 4])
    header, base = json.loads(data[at + 4 : at + 4 + length]), at + 4 + length
    tensors = {}
    for t in header["tensors"]:
        rows, columns, start = t["rows"], t["columns"], base + t["at"]
        if t["kind"] == "int8":
            scale = np.frombuffer(data, "<f4", rows, start)
            values = np.frombuffer(data, np.int8, rows * columns, start + 4 * rows).reshape(rows, columns) * scale[:, None]
        else:
            values = np.frombuffer(data, "<f4", rows * columns, start).reshape(rows, columns)
        tensors[t["name"]] = torch.tensor(values.astype(np.float32))
    return header, tensors


def net_from(path, phones, labels=sentences.LABELS, more_blocks=0):
    """
    The net with these weights, for training on. `more_blocks` residual blocks are put before the last layer that change
    next to nothing at first.
    """
    header, tensors = read(path)
    blocks = len(header["dilations"])
    net = netfile.Net(len(labels), phones, blocks=blocks + more_blocks, dilations=header["dilations"][:3])
    state = net.state_dict()

    def plain(prefix, bias):
        state[prefix + ".weight"][:], state[prefix + ".bias"][:] = 1, bias.reshape(-1)
        state[prefix + ".running_mean"][:], state[prefix + ".running_var"][:] = 0, 1 - 1e-5

    state["stem.weight"][:] = tensors["stem"].reshape(-1, 5, netfile.BANDS).transpose(1, 2)
    plain("stem_norm", tensors["stem.bias"])
    state["widen_depth.weight"][:, 0] = tensors["widen.depth"]
    state["widen.weight"][:, :, 0] = tensors["widen"]
    plain("widen_norm", tensors["widen.bias"])
    for i in range(blocks):
        b = f"blocks.{i}."
        state[b + "depth.weight"][:, 0] = tensors[f"{i}.depth"]
        state[b + "point.weight"][:, :, 0] = tensors[f"{i}.point"]
        plain(b + "norm", tensors[f"{i}.bias"])
        for part in ("down", "up"):
            state[b + part + ".weight"][:], state[b + part + ".bias"][:] = tensors[f"{i}.{part}"], tensors[f"{i}.{part}.bias"].reshape(-1)
    for i in range(blocks, blocks + more_blocks):
        b = f"blocks.{i}."
        plain(b + "norm", torch.zeros(state[b + "norm.weight"].shape[0]))
        state[b + "point.weight"][:] *= 0.05
    other = header["labels"].index(sentences.GARBAGE)
    for row, label in enumerate(labels):
        known = header["labels"].index(label) if label in header["labels"] else other
        state["head.weight"][row, :, 0] = tensors["head"][known]
        state["head.bias"][row] = tensors["head.bias"].reshape(-1)[known] - (0 if label in header["labels"] else 3)
    net.load_state_dict(state)
    return net
