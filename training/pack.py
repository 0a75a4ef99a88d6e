"""One file of many short sounds: Opus packets (libopus of Debian, through ctypes) behind a JSON index.

Layout: 8 bytes little-endian length of the index, the index (UTF-8 JSON: {"clips": [{...meta, "samples", "at",
"packets": [bytes of each 20 ms packet]}]}), then the packets. About 2 kB for a second of speech, so that hours of it
can be carried to a machine that cannot synthesise.
"""

import ctypes
import ctypes.util
import json
import os

import numpy as np

RATE = 16000
FRAME = 320
DELAY = 104  # the encoder's look-ahead at 16 kHz (6.5 ms), cut off again on reading


def library():
    here = os.environ.get("LIBOPUS")
    return ctypes.CDLL(here or "libopus.so.0")


class Writer:
    def __init__(self, bitrate=16000):
        self.lib = library()
        self.bitrate = bitrate
        self.clips, self.body, self.size = [], [], 0
        self.buffer = ctypes.create_string_buffer(4000)
        self.lib.opus_encoder_create.restype = ctypes.c_void_p

    def add(self, sound, meta):
        error = ctypes.c_int()
        encoder = ctypes.c_void_p(self.lib.opus_encoder_create(RATE, 1, 2049, ctypes.byref(error)))
        assert error.value == 0
        self.lib.opus_encoder_ctl(encoder, 4002, ctypes.c_int(self.bitrate))
        self.lib.opus_encoder_ctl(encoder, 4010, ctypes.c_int(6))
        pcm = np.zeros((len(sound) + DELAY + FRAME - 1) // FRAME * FRAME, np.float32)
        pcm[: len(sound)] = sound
        packets = []
        for i in range(0, len(pcm), FRAME):
            part = np.ascontiguousarray(pcm[i : i + FRAME])
            n = self.lib.opus_encode_float(encoder, part.ctypes.data_as(ctypes.c_void_p), FRAME, self.buffer, 4000)
            assert n > 0
            packets.append(n)
            self.body.append(self.buffer.raw[:n])
        self.lib.opus_encoder_destroy(encoder)
        self.clips.append(dict(meta, samples=len(sound), at=self.size, packets=packets))
        self.size += sum(packets)

    def save(self, path):
        index = json.dumps({"clips": self.clips}, separators=(",", ":")).encode()
        with open(path, "wb") as f:
            f.write(len(index).to_bytes(8, "little"))
            f.write(index)
            for part in self.body:
                f.write(part)


def read(path, keep=lambda meta: True):
    """Yields (meta, float32 sound at 16 kHz)."""
    lib = library()
    lib.opus_decoder_create.restype = ctypes.c_void_p
    error = ctypes.c_int()
    with open(path, "rb") as f:
        index = json.loads(f.read(int.from_bytes(f.read(8), "little")))
        body = f.read()
    out = np.zeros(FRAME, np.float32)
    pointer = out.ctypes.data_as(ctypes.c_void_p)
    decoder = ctypes.c_void_p(lib.opus_decoder_create(RATE, 1, ctypes.byref(error)))
    for clip in index["clips"]:
        if not keep(clip):
            continue
        lib.opus_decoder_ctl(decoder, 4028)  # reset
        sound = np.empty(len(clip["packets"]) * FRAME, np.float32)
        at = clip["at"]
        for i, n in enumerate(clip["packets"]):
            lib.opus_decode_float(decoder, body[at : at + n], n, pointer, FRAME, 0)
            sound[i * FRAME : (i + 1) * FRAME] = out
            at += n
        meta = {k: v for k, v in clip.items() if k not in ("packets", "at", "samples")}
        yield meta, sound[DELAY : DELAY + clip["samples"]]
    lib.opus_decoder_destroy(decoder)
