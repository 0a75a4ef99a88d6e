"""Writes the weights that the browser reads, and a small reference for the tests: python3 export.py NET.pt OUT.bin [REF.json]

Batch norms are folded into the layer before them; every row of a matrix becomes 8-bit numbers with one scale.
"""

import json
import struct
import sys

import numpy as np
import torch

import net as netfile

MAGIC = b"meniscall ear 1\n"


def folded(state, config):
    s = {k: v.double().numpy() for k, v in state.items() if v.dtype.is_floating_point}

    def norm(name):
        scale = s[name + ".weight"] / np.sqrt(s[name + ".running_var"] + 1e-5)
        return scale, s[name + ".bias"] - s[name + ".running_mean"] * scale

    out = {}
    scale, bias = norm("stem_norm")
    # (out, band, tap) -> rows of tap-major, as the runtime unrolls frames.
    out["stem"] = (s["stem.weight"] * scale[:, None, None]).transpose(0, 2, 1).reshape(config["stem"], -1)
    out["stem.bias"] = bias
    scale, bias = norm("widen_norm")
    out["widen.depth"] = s["widen_depth.weight"][:, 0]
    out["widen"] = s["widen.weight"][:, :, 0] * scale[:, None]
    out["widen.bias"] = bias
    for i in range(config["blocks"]):
        b = f"blocks.{i}."
        scale, bias = norm(b + "norm")
        out[f"{i}.depth"] = s[b + "depth.weight"][:, 0]
        out[f"{i}.point"] = s[b + "point.weight"][:, :, 0] * scale[:, None]
        out[f"{i}.bias"] = bias
        out[f"{i}.down"], out[f"{i}.down.bias"] = s[b + "down.weight"], s[b + "down.bias"]
        out[f"{i}.up"], out[f"{i}.up.bias"] = s[b + "up.weight"], s[b + "up.bias"]
    out["head"], out["head.bias"] = s["head.weight"][:, :, 0], s["head.bias"]
    return out


def quantised(rows):
    scale = np.abs(rows).max(1) / 127
    scale[scale == 0] = 1
    scale = scale.astype(np.float32)
    return scale, np.round(rows / scale[:, None]).clip(-127, 127).astype(np.int8)


def write(tensors, config, labels, path):
    entries, body = [], b""
    for name, value in tensors.items():
        value = value if value.ndim == 2 else value[None]
        kind = "float32" if name.endswith("bias") else "int8"
        entries.append(dict(name=name, rows=value.shape[0], columns=value.shape[1], at=len(body), kind=kind))
        if kind == "int8":
            scale, rows = quantised(value)
            body += scale.tobytes() + rows.tobytes()
        else:
            body += value.astype(np.float32).tobytes()
    dilations = [config["dilations"][i % len(config["dilations"])] for i in range(config["blocks"])]
    header = json.dumps(dict(labels=labels, dilations=dilations, tensors=entries), separators=(",", ":")).encode()
    with open(path, "wb") as f:
        f.write(MAGIC + struct.pack("<I", len(header)) + header + body)


def rounded_net(checkpoint):
    """The net with its weights as they are after rounding to 8 bits, batch norms folded away."""
    config = checkpoint["config"]
    tensors = folded(checkpoint["net"], config)
    net = netfile.Net(**config)
    net.eval()
    state = net.state_dict()

    def back(name):
        scale, rows = quantised(tensors[name])
        return torch.tensor(rows.astype(np.float32) * scale[:, None])

    def plain(prefix, bias):
        state[prefix + ".weight"][:] = 1
        state[prefix + ".bias"][:] = torch.tensor(bias).float()
        state[prefix + ".running_mean"][:] = 0
        state[prefix + ".running_var"][:] = 1 - 1e-5

    state["stem.weight"][:] = back("stem").reshape(config["stem"], 5, netfile.BANDS).transpose(1, 2)
    plain("stem_norm", tensors["stem.bias"])
    state["widen_depth.weight"][:, 0] = back("widen.depth")
    state["widen.weight"][:, :, 0] = back("widen")
    plain("widen_norm", tensors["widen.bias"])
    for i in range(config["blocks"]):
        b = f"blocks.{i}."
        state[b + "depth.weight"][:, 0] = back(f"{i}.depth")
        state[b + "point.weight"][:, :, 0] = back(f"{i}.point")
        plain(b + "norm", tensors[f"{i}.bias"])
        state[b + "down.weight"][:], state[b + "down.bias"][:] = back(f"{i}.down"), torch.tensor(tensors[f"{i}.down.bias"]).float()
        state[b + "up.weight"][:], state[b + "up.bias"][:] = back(f"{i}.up"), torch.tensor(tensors[f"{i}.up.bias"]).float()
    state["head.weight"][:, :, 0], state["head.bias"][:] = back("head"), torch.tensor(tensors["head.bias"]).float()
    net.load_state_dict(state)
    return net


def reference_sound():
    """0.9 s that any language can make: three gliding tones under a syllable-like swell, and noise of a small generator."""
    out, seed = [], 12345
    for i in range(14400):
        t = i / 16000
        seed = (seed * 1103515245 + 12345) % 2147483648
        swell = max(0.0, np.sin(2 * np.pi * 2.2 * t)) ** 2
        tones = np.sin(2 * np.pi * (140 * t + 30 * t * t)) + 0.5 * np.sin(2 * np.pi * (700 * t + 250 * t * t)) + 0.25 * np.sin(2 * np.pi * 2300 * t)
        out.append(0.2 * swell * tones + 0.004 * (seed / 1073741824 - 1))
    return np.array(out, np.float32)


def main():
    checkpoint = torch.load(sys.argv[1], map_location="cpu")
    write(folded(checkpoint["net"], checkpoint["config"]), checkpoint["config"], checkpoint["labels"], sys.argv[2])
    if len(sys.argv) > 3:
        net = rounded_net(checkpoint)
        sound = torch.from_numpy(reference_sound())[None]
        spec = netfile.power_spectrum(sound, netfile.window())
        features = netfile.normalised(spec.double() @ torch.tensor(netfile.filterbank()))
        with torch.no_grad():
            logp, _ = net(features.float())
        p = logp.exp()[0].numpy()
        f = features[0].numpy()
        with open(sys.argv[3], "w") as out:
            json.dump(
                dict(
                    frames=f.shape[0], features=[[round(float(v), 5) for v in f[i]] for i in (0, 25, 50, 75)], at=[0, 25, 50, 75],
                    steps=p.shape[0],
                    posteriors=[[int(k), int(j), round(float(p[k, j]), 5)] for k in range(p.shape[0]) for j in np.argsort(-p[k])[:4]],
                ),
                out, separators=(",", ":"),
            )


if __name__ == "__main__":
    main()
