import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { wrongImports } from './rooms.ts';

test('every room imports only from rooms below it', () => {
  expect(wrongImports(fileURLToPath(new URL('../../src', import.meta.url)))).toEqual([]);
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
