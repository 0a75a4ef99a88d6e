/**
 * Speaks with a throat of its own for each sentence: node gnuspeech.mjs FOLDER, where FOLDER holds the npm package
 * @echogarden/gnuspeech-wasm (an articulatory synthesiser: a tube, not recordings).
 *
 * In: one JSON line a sentence, {text, seed, files, spread, hiss}. `files` are written over the synthesiser's own settings
 * ({"voice_male.txt": "vocal_tract_length = 16.2\n…"}); `spread` moves the places that the tongue, lips and jaw go to for
 * each sound: {radius, friction, duration}, each the standard deviation of a logarithm; `hiss` makes s, f and their like
 * louder, in dB.
 * Out, for each line: 4 bytes little-endian, the number of 16-bit samples; then the samples, mono, at the output rate of
 * the settings. 0 samples: it could not be said.
 */

import { writeSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { pathToFileURL } from 'node:url';

const settings = '/data/en';
// A program of the 1990s in a sandbox: what it does not give back is thrown away with the whole sandbox.
const sentencesEach = 500;

/** A small generator of numbers (mulberry32), so that a seed always makes the same sound. 0 <= x < 1. */
function generator(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

// The synthesiser seeds its own chance (drift and turns of the pitch) from the system's: here, from the sentence's seed.
let chance = generator(0);
Object.defineProperty(globalThis, 'crypto', {
  value: {
    getRandomValues(view) {
      for (let i = 0; i < view.length; i++) view[i] = Math.floor(chance() * 256);
      return view;
    },
  },
});

const folder = process.argv[2];
const { default: start } = await import(pathToFileURL(`${folder}/@echogarden/gnuspeech-wasm/wasm/gnuspeech.js`).href);
const quiet = { print: () => {}, printErr: () => {} };
let synthesiser = await start({ ...quiet });
let spoken = 0;
const postures = new TextDecoder().decode(synthesiser.FS.readFile(`${settings}/monet.xml`)).split('\n');
const kinds = {
  r1: 'radius',
  r2: 'radius',
  r3: 'radius',
  r4: 'radius',
  r5: 'radius',
  r6: 'radius',
  r7: 'radius',
  r8: 'radius',
  fricCF: 'friction',
  fricBW: 'friction',
  transition: 'duration',
  qssa: 'duration',
  qssb: 'duration',
};

/** The table of postures with every target moved by chance; a stressed sound (its name ends in ') moves as the plain one. */
function movedPostures(spread, hiss, random) {
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const moves = new Map();
  let posture = '';
  return postures
    .map((line) => {
      posture = /<posture symbol="([^"]*)"/.exec(line)?.[1].replace("'", '') ?? posture;
      const target = /^(\s*<target name="(\w+)" value=")([\d.]+)(".*)$/.exec(line);
      if (target?.[2] === 'fricVol' && Number(target[3]) > 0) {
        return `${target[1]}${(Number(target[3]) * (1 + hiss / 0.8)).toFixed(3)}${target[4]}`;
      }
      const sd = target && spread[kinds[target[2]]];
      if (!sd) return line;
      const key = `${posture} ${kinds[target[2]] === 'duration' ? '' : target[2]}`;
      if (!moves.has(key)) moves.set(key, Math.exp(sd * Math.max(-2, Math.min(2, normal()))));
      return `${target[1]}${(Number(target[3]) * moves.get(key)).toFixed(3)}${target[4]}`;
    })
    .join('\n');
}

function speak({ text, seed, files, spread, hiss }) {
  chance = generator(seed);
  const { FS } = synthesiser;
  for (const [name, content] of Object.entries(files)) FS.writeFile(`${settings}/${name}`, content);
  FS.writeFile(`${settings}/monet.xml`, movedPostures(spread, hiss, generator(seed ^ 0x5bd1e995)));
  const pointers = [text, '/sound.wav', settings, '/tube.txt'].map((string) => {
    const bytes = new TextEncoder().encode(`${string}\0`);
    const at = synthesiser._malloc(bytes.length);
    synthesiser.HEAPU8.set(bytes, at);
    return at;
  });
  if (synthesiser._GnuSpeech_synthesizeToFile(...pointers, 0) !== 0) throw new Error('not spoken');
  for (const at of pointers) synthesiser._free(at);
  // 44 bytes of WAV header before the samples.
  return FS.readFile('/sound.wav').subarray(44);
}

function send(bytes) {
  for (let at = 0; at < bytes.length; ) at += writeSync(1, bytes, at);
}

for await (const line of createInterface({ input: process.stdin })) {
  let sound = new Uint8Array(0);
  try {
    sound = speak(JSON.parse(line));
    spoken++;
  } catch {
    spoken = sentencesEach;
  }
  const count = Buffer.alloc(4);
  count.writeUInt32LE(sound.length >> 1);
  send(count);
  send(sound.subarray(0, sound.length & ~1));
  if (spoken >= sentencesEach) {
    synthesiser = await start({ ...quiet });
    spoken = 0;
  }
}
