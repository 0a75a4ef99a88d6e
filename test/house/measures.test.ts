import { fileURLToPath } from 'node:url';
import { parseSync } from 'vite';
import { expect, test } from 'vitest';
import { assertionsOf, exportedFunctionsOf, functionsOf, unusedExports } from './measures.ts';
import { isNode, type SourceFile, sourceFiles } from './source.ts';

function file(name: string, text: string): SourceFile {
  const { program, comments } = parseSync(name, text);
  const root: unknown = program;
  if (!isNode(root)) throw new TypeError('did not parse');
  return { name, text, program: root, comments };
}

test('length and complexity of a function leave out the ways through functions inside it', () => {
  const text = 'export function f(a: number) {\n  const g = () => (a ? 1 : 2);\n  return a > 0 && g() ? 1 : 0;\n}\n';
  expect(functionsOf(file('a.ts', text))).toEqual([
    { file: 'a.ts', name: 'f', line: 1, lines: 4, complexity: 3 },
    { file: 'a.ts', name: 'g', line: 2, lines: 1, complexity: 2 },
  ]);
});

test('an unchecked assertion that a value is there is counted, a negation is not', () => {
  expect(assertionsOf(file('a.ts', 'const b = (a: string[]) => a[0]! + String(!a.length);'))).toBe(1);
});

test('an export that no file uses is found, one that another file or its own file uses is not', () => {
  const a = file('a.ts', 'export const one = 1;\nexport function two() {}\nexport const three = one;\n');
  const b = file('b.ts', "import { two } from './a.ts';\ntwo();\n");
  expect(unusedExports([a, b], [a, b])).toEqual([{ file: 'a.ts', name: 'three' }]);
  expect(exportedFunctionsOf(a)).toEqual(['two']);
});

test('no function of the app has more than 25 ways through', () => {
  const functions = sourceFiles(fileURLToPath(new URL('../../src', import.meta.url))).flatMap(functionsOf);
  expect(functions.length).toBeGreaterThan(1000);
  const tooMany = functions.filter(({ complexity }) => complexity > 25).map(({ file, name }) => `${file} ${name}`);
  expect(tooMany).toEqual([]);
});
