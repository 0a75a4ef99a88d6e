import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { parseSync } from 'vite';

/** A node of the parsed source, as the parser gives it (ESTree with TypeScript's nodes). */
export interface SourceNode {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

export interface SourceFile {
  /** Path from the source folder, with slashes. */
  readonly name: string;
  readonly text: string;
  readonly program: SourceNode;
  readonly comments: readonly { readonly value: string; readonly start: number; readonly end: number }[];
}

/** Every TypeScript file of a folder, parsed. */
export function sourceFiles(folder: string): SourceFile[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()
    .map((path) => {
      const text = readFileSync(path, 'utf8');
      const { program, comments } = parseSync(path, text);
      const root: unknown = program;
      if (!isNode(root)) throw new TypeError(`${path} did not parse`);
      return { name: relative(folder, path).split(sep).join('/'), text, program: root, comments };
    });
}

export function isNode(value: unknown): value is SourceNode {
  return typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';
}

/** The nodes straight below a node. */
export function childrenOf(node: SourceNode): SourceNode[] {
  return Object.values(node).flatMap((value): SourceNode[] =>
    Array.isArray(value) ? value.filter(isNode) : isNode(value) ? [value] : [],
  );
}

/** Visit a node and everything below it, parents first; `enter` returns false to leave out what is below. */
export function walk(node: SourceNode, enter: (node: SourceNode) => boolean | undefined): void {
  if (enter(node) === false) return;
  for (const child of childrenOf(node)) walk(child, enter);
}
