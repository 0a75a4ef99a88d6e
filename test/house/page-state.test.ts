import { join } from 'node:path';
import { expect, test } from 'vitest';
import { childrenOf, type SourceFile, type SourceNode, sourceFiles } from './source.ts';

/**
 * State that lives as long as the page, outside of any function. Each is one value because the page has one of what it
 * stands for; all else is made at the desk and passed on. Workers are left out: each is a page of its own.
 */
const one: Readonly<Record<string, string>> = {
  'analysis/exponential-fit.ts':
    'figures of the run that was looked at last, kept because they are asked for again at once',
  'hearing/ear/hear-samples.ts': 'the weights of the ear, loaded once',
  'hearing/ear/own-ear.ts': 'the weights of the ear, fetched once',
  'screens/bench/bench-session.ts': 'the Bench owns the microphone',
  'screens/class/class-list.ts': 'an import goes on while another screen is shown',
  'screens/german.ts': 'the German texts are fetched once',
  'screens/preferences/device.ts': 'language and theme are set on the one document',
  'screens/rehearsal/current.ts': 'a rehearsal speaks and records: two would talk over each other',
  'screens/voice/in-use.ts': 'the Bench says which voice its one ear knows',
  'screens/voice/known-voice.ts': 'the store of voices is one, and every ear follows its changes',
};

const makers = new Set(['createSignal', 'createRoot', 'createStore', 'createMemo', 'createResource']);

function holdsState(statement: SourceNode): boolean {
  const declaration = statement.type === 'ExportNamedDeclaration' ? childrenOf(statement)[0] : statement;
  if (declaration?.type !== 'VariableDeclaration') return false;
  return (
    declaration.kind === 'let' ||
    childrenOf(declaration)
      .flatMap(childrenOf)
      .some((node) => node.type === 'CallExpression' && makers.has(nameOf(node.callee)))
  );
}

const nameOf = (node: unknown): string =>
  typeof node === 'object' && node !== null && 'name' in node ? String(node.name) : '';

const isWorker = ({ name }: SourceFile): boolean => /[.-]work(er|let)\.ts$/.test(name);

test('only what the page has one of is state outside of functions', () => {
  const found = sourceFiles(join(import.meta.dirname, '../../src')).filter(
    (file) => !isWorker(file) && childrenOf(file.program).some(holdsState),
  );
  expect(found.map(({ name }) => name)).toEqual(Object.keys(one));
});
