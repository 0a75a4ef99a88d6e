import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type FoundCall, makeFollower } from './follow.ts';
import type { GrammarName } from './grammar.ts';
import { type Net, readNet } from './net.ts';
import { type OwnAnswer, recognise } from './recognise.ts';

let net: Net | null = null;

/** The shipped weights, read once from beside this file. Node only. */
export function shippedNet(): Net {
  net ??= readNet(readFileSync(fileURLToPath(new URL('./ear.bin', import.meta.url))));
  return net;
}

/** What was said in one utterance, in Node: mono sound, range -1..1, at any rate. See `recognise`. */
export function hearSamples(samples: Float32Array, rate: number, name: GrammarName = 'everything'): OwnAnswer {
  return recognise(shippedNet(), samples, rate, name);
}

/** The calls in a stretch of sound as the ear finds them running along, in blocks of 80 ms. Node only. */
export function callsIn(samples: Float32Array, rate: number): FoundCall[] {
  const follower = makeFollower(shippedNet(), rate);
  const block = Math.round(rate * 0.08);
  const found: FoundCall[] = [];
  for (let at = 0; at < samples.length; at += block) found.push(...follower.push(samples.subarray(at, at + block)));
  return [...found, ...follower.finish()];
}
