/**
 * How long after its first sound the ear answers for a word that begins a call, and how much that varies: median and
 * standard deviation, ms. The answer is the middle of its frames, weighed with what the ear gives them.
 *
 * Source: `npm run bench -- into-word`, ten voices of two engines that the ear learnt from. With other weights it has
 * to be measured anew.
 */
const measured =
  'a -24 14|affirm 127 50|affirmative 147 45|at -18 14|baseline 8 16|correction 40 14|disregard 147 16|done 20 14|' +
  'double 7 14|eight -5 25|eighteen -8 14|eighty -8 14|eleven 100 27|end -26 14|fifteen 58 34|fifty 58 36|five 70 33|' +
  'forty 58 34|four 71 30|fourteen 70 36|go -7 14|half 47 18|hundred 58 18|i -17 14|last 48 15|leak 33 18|make 41 14|' +
  'mark 69 15|negative 63 14|next 47 14|nine 75 18|nineteen 58 14|ninety 47 15|no 73 19|nought 47 14|oh -20 14|' +
  'one 46 22|point 31 14|previous 29 14|read 8 16|ready 47 15|repeat 6 14|rinsed 55 20|say 57 14|scratch 148 19|' +
  'seven 73 16|seventeen 72 21|seventy 72 15|six 73 19|sixteen 72 19|sixty 62 14|spill 101 20|stand 106 19|start 95 18|' +
  'swirl 107 15|swirling 136 24|temperature 28 14|ten 46 14|that 33 31|thirteen 70 34|thirty 59 30|three 60 21|' +
  'twelve 88 18|twenty 72 14|two 34 14|what 29 21|yes 74 16|zero 73 17';

interface IntoWord {
  readonly medianS: number;
  readonly spreadS: number;
}

const words = new Map(
  measured.split('|').map((entry): [string, IntoWord] => {
    const [word = '', median, spread] = entry.split(' ');
    return [word, { medianS: Number(median) / 1000, spreadS: Number(spread) / 1000 }];
  }),
);
/** All words together. */
const anyWord: IntoWord = { medianS: 0.06, spreadS: 0.04 };

/**
 * @example
 * intoWord('eighty') // => { medianS: -0.008, spreadS: 0.014 }
 */
export function intoWord(word: string): IntoWord {
  return words.get(word) ?? anyWord;
}
