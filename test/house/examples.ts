import type { SourceFile } from './source.ts';

/** One `@example` of a docstring, in pieces. */
export interface Example {
  readonly file: string;
  /** The function whose docstring it stands in. */
  readonly of: string;
  readonly steps: readonly ExampleStep[];
}

export interface ExampleStep {
  /** Statements before the expression. */
  readonly statements: string;
  readonly expression: string;
  /** What stands after `// =>`. */
  readonly result: string;
}

/** Every `@example` of a file with the exported name that follows its docstring. */
export function examplesOf(file: SourceFile): Example[] {
  return file.comments.flatMap((comment): Example[] => {
    if (!comment.value.startsWith('*')) return [];
    const after = /^\s*export (?:async )?(?:function\*?|const|class) ([\w$]+)/.exec(file.text.slice(comment.end));
    const lines = comment.value.split('\n').map((line) => line.replace(/^\s*\* ?/, ''));
    const from = lines.findIndex((line) => line.startsWith('@example'));
    if (from < 0 || after?.[1] === undefined) return [];
    const rest = lines.slice(from + 1);
    const to = rest.findIndex((line) => line.startsWith('@'));
    return [{ file: file.name, of: after[1], steps: stepsOf(to < 0 ? rest : rest.slice(0, to)) }];
  });
}

function stepsOf(lines: readonly string[]): ExampleStep[] {
  const steps: ExampleStep[] = [];
  let waiting: string[] = [];
  for (const line of lines) {
    const [code = '', result] = line.split(/\/\/ => (.*)/);
    waiting.push(code);
    if (result === undefined) continue;
    const lastStatement = waiting.findLastIndex((part) => part.trimEnd().endsWith(';'));
    steps.push({
      statements: waiting.slice(0, lastStatement + 1).join('\n'),
      expression: waiting.slice(lastStatement + 1).join('\n'),
      result: result.trim(),
    });
    waiting = [];
  }
  return steps;
}

/**
 * Does a computed value agree with the one printed in an example? A number printed with decimals agrees when the
 * value rounds to it; whole numbers and numbers inside objects agree to one part in a million; the rest must be equal.
 */
export function agrees(found: unknown, printed: string, read: (source: string) => unknown): boolean {
  const decimals = /^-?\d+\.(\d+)$/.exec(printed)?.[1]?.length;
  if (decimals !== undefined && typeof found === 'number')
    return Math.abs(found - Number(printed)) <= 0.5000001 * 10 ** -decimals;
  return same(found, read(printed));
}

function same(found: unknown, wanted: unknown): boolean {
  if (typeof found === 'number' && typeof wanted === 'number')
    return Object.is(found, wanted) || Math.abs(found - wanted) <= 1e-6 * Math.max(Math.abs(found), Math.abs(wanted));
  if (typeof found !== 'object' || typeof wanted !== 'object' || found === null || wanted === null)
    return Object.is(found, wanted);
  const keys = new Set([...Object.keys(found), ...Object.keys(wanted)]);
  return [...keys].every((key) => same(Reflect.get(found, key), Reflect.get(wanted, key)));
}
