import { deflateSync, Inflate } from 'fflate';
import { sessionWords } from './session-words.ts';

/**
 * Words that notebooks are full of, so that a short notebook need not bring them along. Frozen with the version of
 * the link: a changed word makes every link of that version unreadable (a test holds the sum of it).
 */
export const linkWords = [
  'leak","spill","swirl-stopped","swirling","surge","slow-down","stirring-change","unexplained","own-judgement","late-call","shifted-mark","misheard","say-again","stand-by","go-ahead","next","previous","read","not-a-reading","unresolved","a sound without words","topped-up","accepted","by hand","given by hand","given by voice","disregarded","no value is likely enough","taken back in the same breath',
  'gasPerLimiting","limiting","orderSpecies","HCl","Mg","hydrochloric acid","magnesium","catalase","metal-acid","carbonate-acid","%w/v","%w/w","vol-stp","g/L","densityGPerMl","sea-level","altitudeM","waterHeadMm","backPressure","headspaceMl","cylinderBoreMm","uCallMs","callDelayMs","twenty-five","twenty","thirty","forty","fifty","fifteen","millilitres","point","five","decimal',
  '[["=",0],["=","0.1.0"],["=",false],["=",0],["=","first"],["=",0],["o",[[0,1,2,3,4,5]],["cylinder","pressure","spanMl","stepMl","temperatureC","uTemperatureC"],["=",0],[["o",[[0,1,2]],["accuracy","capacityMl","divisionMl"],["=",0],[["=","unknown"],["=","B"],["=",100],["=",1]]],["o",[[0,1]],["hPa","kind"],["=",0],[["=",1013],["=","station"]]],["=",20],["=",2],["=",20],["=",0.5]]],["=",0],',
  '["o",[[0,1,2,3]],["dilutions","reaction","runs","stocks"],["=",0],[["a",["=",0],["v"]],["o",[[0,1,2,3]],["addWaterMl","from","id","makeUpToMl","name","takeMl","vesselMl"],["=","peroxide-iodide"],["a",["=",3],["o",[[0,1]],["label","pours"],["=",0],[["v","1","2","3"],["a",["=",3],["o",[[0,1]],["solution","volumeMl"],["=",0],[["v","water","iodide","peroxide","water","iodide","peroxide","water","iodide","peroxide"],["i",10,10,0,0,-10,10,0,0,-10]]]]]]],["a",["=",2],["o",[[0,1,2,3,4]],["availableMl","id","name","species","strength"],["=",0],[["i",250,-50],["v","peroxide","iodide"],["v","peroxide","iodide"],["v","H2O2","I-"],["o",[[0,1,2]],["uRelative","unit","value"],["=",0],[["v",0.02,0.01],["=","mol/L"],["v",0.9,0.1]]]]]]]],["=",0],',
  '["a",["i",1,0,0,0],["o",[[0,1]],["p","text"],["=",0],[["f",0.9],["v","poured 20 of iodide","poured 10 of water","poured 20 of peroxide","baseline four","start run 1","swirling","6","8","10","12","14","16","18","20","22","24","26","end run","start run two","disregard","correction 16","start run 3","temperature"]]]],["=","browser"],["=",true],["=",0],["v","ear","ear","ear","voice","hand"],',
  '["o",[[0,1,2],[0,2],[0,3],[0,4],[0,5],[0]],["kind","reagent","value","run","what","values"],["i",0,1,1,1,1,0,0,0,0,-3,3,0,0,0],[["v","poured","poured","baseline","start-run","happening","reading","reading","reading","correction","reading","reading","end-run"],["a",["=",1],["o",[[0]],["value"],["=",0],[["v","2","4","6","8","10","12","14","16","18","20","22","24"]]]]]],["v","command","command","command","taken","taken","taken","taken","doubtful","taken","taken","command"],["v","a procedure word","heard and expected","the next mark"],["a",["i",0,0,1,-1,0,0],["o",[[0,1,2]],["meaning","p","why"],["=",0],[["o",[[0,1]],["kind","values"],["=",0],[["=","reading"]',
  '["",[]],["i",0,0,0,0,0],["I",0,0],["=",1],["o",[[0,1,2,3,4],[5,6],[7,8],[9,10],[11,12,13,14,15,16,17,18],[19,20,12,21,22,23],[24,25,12,26,27,28,29],[30,12,31,32,16,33,34,35,36],[37,12,16,35,36],[38,39,16,35],[40,12,16,35,41],[42,25,12,43,36],[44,16,35]],["=created","app","invented","seed","title","=opened","joined","=set-up","setup","=planned","plan","=estimate-chosen","estimator","=set-aside","cause","why","=undone","event","=note","=temperature","=struck","=step-reached","step","=paused","=resumed","=called","call","clip","endMs","onsetMs","run","timing","uOnsetMs","=heard","alternatives","ear","final","lagMs","=judged","by","meaning","outcome","reason","rivals","=poured","forRun","reagent","settled","solution","timeMs","value","=baseline","=run-started","label","=happened","what","=corrected","reading","=run-ended"],',
  '["i",0,1,1,1,1,1,1,1,-3,1,1,1,-3,1,1,1,-2,1,1,-2,1,1,-2,1,1],["r",0,0,0,0,1,0,0,0,1,0,0,1,0,0],["t",["null","string"],["i",0,0,0,1,0,0,0,-1],[["=",null],["r",1,0,0,0],["=","sound"],["=",12],["=",0],["=",300],["=",true],["I",100,200,',
].join('');

/** Text that both sides know beforehand. */
export type Dictionary = Uint8Array;

/** Version 1 of the link. */
export const firstWords: Dictionary = new TextEncoder().encode(linkWords);
/** Version 3 and 4 of the link. */
export const laterWords: Dictionary = new TextEncoder().encode(linkWords + sessionWords);

export const deflate = (bytes: Uint8Array, dictionary: Dictionary): Uint8Array =>
  deflateSync(bytes, { level: 9, mem: 8, dictionary });

export class TooLarge extends Error {
  override readonly name = 'TooLarge';
}

/**
 * Inflates piece by piece and stops as soon as more than `limit` bytes came out, so that a small hostile input cannot
 * fill the memory. Beyond the limit at most one piece (1 kB in, about 1 MB out) is held.
 * @throws TooLarge, and whatever the library throws for damaged data
 */
export function inflateBounded(bytes: Uint8Array, limit: number, dictionary: Dictionary): Uint8Array {
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
