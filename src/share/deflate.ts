import { deflateSync, Inflate } from 'fflate';

/**
 * Words that notebooks are full of, so that a short notebook need not bring them along. Frozen with the version of
 * the link: a changed word makes every link of that version unreadable (a test holds the sum of it).
 */
export const linkWords = [
  '["note","text","surge","settling","slow-down","stirring-change","unexplained","own-judgement","late-call","shifted-mark","misheard"',
  '"by","cause","why","alternatives","settled","as-planned","accepted","topped-up","open","forRun","solution","reagent","poured"',
  '"peroxide","iodide","water","stocks","dilutions","runs","pours","volumeMl","vesselMl","availableMl","strength","unit","uRelative","species","densityGPerMl","takeMl","makeUpToMl","addWaterMl","temperatureC","uTemperatureC","pressure","station","hPa","sea-level","altitudeM","waterHeadMm","backPressure","headspaceMl","cylinderBoreMm","cylinder","capacityMl","divisionMl","accuracy","stepMl","spanMl","uCallMs","callDelayMs","H2O2","I-","mol/L","peroxide-iodide"',
  '"start run one","end run","baseline","twenty-five","disregard","correction","swirling","swirl stopped","temperature","estimator","estimate-chosen"',
  '"planned","plan","set-up","setup","created","title","seed","invented","app","opened","joined","first","wall-clock","titled"',
  '["corrected","struck","restored","set-aside","put-back","reading","event","undone","happened","what","step-reached","step","run-started","label","run-ended","page","wallMs","atMs"',
  '["called","heard","judged","call","onsetMs","endMs","timing","uOnsetMs","clip","run","ear","final","lagMs","p","outcome","taken","meaning","values","value","rivals","reason","kind"],',
  '["o",[["v",["=","reading"],["n",["r",["t",["number","null"],["array","object"],["a",["f",["=",true],["=",false],["=",null],["=","sound"],["=","browser"],["=","hand"],["=","ear"],["=","command"]]',
].join('');

const dictionary = new TextEncoder().encode(linkWords);

export const deflate = (bytes: Uint8Array): Uint8Array => deflateSync(bytes, { level: 9, mem: 12, dictionary });

export class TooLarge extends Error {
  override readonly name = 'TooLarge';
}

/**
 * Inflates piece by piece and stops as soon as more than `limit` bytes came out, so that a small hostile input cannot
 * fill the memory. Beyond the limit at most one piece (1 kB in, about 1 MB out) is held.
 * @throws TooLarge, and whatever the library throws for damaged data
 */
export function inflateBounded(bytes: Uint8Array, limit: number): Uint8Array {
  const pieces: Uint8Array[] = [];
  let total = 0;
  let ended = false;
  const inflate = new Inflate({ dictionary }, (piece, final) => {
    total += piece.length;
    if (total > limit) throw new TooLarge(`more than ${limit} bytes`);
    pieces.push(piece);
    ended ||= final;
  });
  const step = 1024;
  for (let at = 0; at < bytes.length; at += step)
    inflate.push(bytes.subarray(at, at + step), at + step >= bytes.length);
  if (!ended) throw new Error('the data stop too early');
  const whole = new Uint8Array(total);
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
