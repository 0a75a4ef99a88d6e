import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { circlesIn, wrongImports } from './rooms.ts';

test('every room imports only from rooms below it', () => {
  expect(wrongImports(fileURLToPath(new URL('../../src', import.meta.url)))).toEqual([]);
});

test('no files import each other in a circle', () => {
  expect(circlesIn(fileURLToPath(new URL('../../src', import.meta.url)))).toEqual([]);
});

test('a circle of imports is found', () => {
  const src = mkdtempSync(join(tmpdir(), 'circle-'));
  try {
    writeFileSync(join(src, 'a.ts'), "import './b.ts';\n");
    writeFileSync(join(src, 'b.ts'), "import './c.ts';\nimport './d.ts';\n");
    writeFileSync(join(src, 'c.ts'), "import type { A } from './a.ts';\n");
    writeFileSync(join(src, 'd.ts'), '');
    expect(circlesIn(src)).toEqual([['a.ts', 'b.ts', 'c.ts']]);
  } finally {
    rmSync(src, { recursive: true });
  }
});

test('a screen that calls a fit is found, one that takes its type is not', () => {
  const src = mkdtempSync(join(tmpdir(), 'screen-'));
  try {
    mkdirSync(join(src, 'screens'));
    mkdirSync(join(src, 'analysis'));
    writeFileSync(join(src, 'analysis', 'line-rate.ts'), '');
    writeFileSync(join(src, 'screens', 'a.ts'), "import type { Fit } from '../analysis/line-rate.ts';\n");
    writeFileSync(join(src, 'screens', 'b.ts'), "import { lineRate } from '../analysis/line-rate.ts';\n");
    expect(wrongImports(src)).toEqual([
      { file: 'screens/b.ts', imports: '../analysis/line-rate.ts', why: 'screens call no fit' },
    ]);
  } finally {
    rmSync(src, { recursive: true });
  }
});

test('an import that goes up the house is found', () => {
  const src = mkdtempSync(join(tmpdir(), 'house-'));
  try {
    mkdirSync(join(src, 'numerics'));
    mkdirSync(join(src, 'screens'));
    writeFileSync(
      join(src, 'numerics', 'a.ts'),
      "import { b } from '../screens/b.ts';\nconst c = import('../main.tsx');\n",
    );
    writeFileSync(join(src, 'screens', 'b.ts'), "export { a } from '../numerics/a.ts';\nimport '../../test/x.ts';\n");
    expect(wrongImports(src).map((wrong) => wrong.why)).toEqual([
      'screens is above numerics',
      'is above every room',
      'leaves src',
    ]);
  } finally {
    rmSync(src, { recursive: true });
  }
});
