import { fileURLToPath } from 'node:url';
import { transformWithOxc } from 'vite';
import { expect, test } from 'vitest';
import { agrees, type Example, examplesOf } from './examples.ts';
import { exportedFunctionsOf, exportsOf } from './measures.ts';
import { sourceFiles } from './source.ts';

const src = fileURLToPath(new URL('../../src', import.meta.url));
const files = sourceFiles(src);
const homes = new Map<string, string[]>();
for (const file of files) for (const name of exportsOf(file)) homes.set(name, [...(homes.get(name) ?? []), file.name]);

const examples = files.flatMap(examplesOf);

test.each(examples.map((example) => [`${example.file}: ${example.of}`, example] as const))(
  'the example of %s gives what it prints',
  async (_, example) => {
    expect(example.steps.length, 'an example prints at least one result').toBeGreaterThan(0);
    const wrong = (await run(example)).filter(({ found, step, read }) => !agrees(found, step.result, read));
    expect(wrong.map(({ found, step }) => ({ expression: step.expression, found, printed: step.result }))).toEqual([]);
  },
);

test('an example that prints a wrong result is found', () => {
  const read = (source: string): unknown => JSON.parse(source);
  expect(agrees(0.2000001, '0.2', read)).toBe(true);
  expect(agrees(0.26, '0.2', read)).toBe(false);
  expect(agrees(3, '2', read)).toBe(false);
  expect(agrees({ a: 1 }, '{"a":1,"b":2}', read)).toBe(false);
});

/** Rooms whose every exported function shows an example. */
const shown = ['numerics', 'chemistry'];

test.each(shown)('every exported function of %s has an example', (room) => {
  const without = files
    .filter((file) => file.name.startsWith(`${room}/`))
    .flatMap((file) => {
      const has = new Set(examplesOf(file).map((example) => example.of));
      return exportedFunctionsOf(file)
        .filter((name) => !has.has(name))
        .map((name) => `${file.name}: ${name}`);
    });
  expect(without).toEqual([]);
});

type Ran = { step: Example['steps'][number]; found: unknown; read: (source: string) => unknown };

/** Run an example with every name in reach that it uses: its own file's first, else the only file that exports it. */
async function run(example: Example): Promise<Ran[]> {
  const code = example.steps.map((step) => `${step.statements}\n${step.expression}\n${step.result}`).join('\n');
  const scope: Record<string, unknown> = {};
  for (const name of new Set(code.match(/[A-Za-z_$][\w$]*/g))) {
    const home = homes.get(name)?.find((file) => file === example.file) ?? homes.get(name)?.[0];
    if (home === undefined) continue;
    const module: Record<string, unknown> = await import(/* @vite-ignore */ `${src}/${home}`);
    if (name in module) scope[name] = module[name];
  }
  const body = example.steps
    .map(
      ({ statements, expression }, i) =>
        `${statements}\n found[${i}] = await (async () => { try { return (${expression}\n); } catch (error) { return error; } })();`,
    )
    .join('\n');
  const { code: plain } = await transformWithOxc(
    `async function example(found: unknown[]) {\n${body}\n}`,
    'example.ts',
  );
  const found: unknown[] = [];
  await new Function(...Object.keys(scope), `${plain}; return example;`)(...Object.values(scope))(found);
  const read = (source: string): unknown =>
    new Function(...Object.keys(scope), `return (${source});`)(...Object.values(scope));
  return example.steps.map((step, i) => ({ step, found: found[i], read }));
}
