#!/usr/bin/env python3
"""Makes the three signals of hand and ear as WAV files beside this script. Ours, from nothing but sines.

saved    one short tick, rising        look     two ticks        refused  long, falling
"""
import math
import struct
import wave
from pathlib import Path

RATE = 44100


def tone(from_hz, to_hz, seconds):
    count = int(RATE * seconds)
    phase = 0.0
    for i in range(count):
        t = i / count
        phase += 2 * math.pi * (from_hz + (to_hz - from_hz) * t) / RATE
        # A soft edge at both ends, so that it doesn't click.
        edge = min(1.0, t / 0.1, (1 - t) / 0.3)
        yield 0.5 * edge * math.sin(phase)


def silence(seconds):
    return [0.0] * int(RATE * seconds)


def write(name, samples):
    with wave.open(str(Path(__file__).parent / f"{name}.wav"), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes(b"".join(struct.pack("<h", round(32767 * s)) for s in samples))


write("saved", tone(880, 1320, 0.09))
write("look", [*tone(988, 988, 0.07), *silence(0.07), *tone(988, 988, 0.07)])
write("refused", tone(520, 260, 0.4))
