import { childrenOf, type SourceFile, type SourceNode, walk } from './source.ts';

export interface FunctionMeasure {
  readonly file: string;
  readonly name: string;
  readonly line: number;
  /** From the first line to the last, both counted, functions inside included. */
  readonly lines: number;
  /** Ways through: 1 and one more for each branch, loop, case, catch and `&&`, `||`, `??`; functions inside left out. */
  readonly complexity: number;
}

const functionTypes = new Set(['FunctionDeclaration', 'FunctionExpression', 'ArrowFunctionExpression']);
const branchTypes = new Set([
  'IfStatement',
  'ConditionalExpression',
  'LogicalExpression',
  'ForStatement',
  'ForInStatement',
  'ForOfStatement',
  'WhileStatement',
  'DoWhileStatement',
  'CatchClause',
]);

/** Length and complexity (McCabe, IEEE Trans. Softw. Eng. SE-2 (1976) 308) of every function of a file. */
export function functionsOf(file: SourceFile): FunctionMeasure[] {
  const found: FunctionMeasure[] = [];
  const visit = (node: SourceNode, named: string): void => {
    if (functionTypes.has(node.type)) {
      const first = lineAt(file.text, node.start);
      found.push({
        file: file.name,
        name: nameOf(node.id) ?? named,
        line: first,
        lines: lineAt(file.text, node.end) - first + 1,
        complexity: complexityOf(node),
      });
    }
    const name = nameOf(node.id) ?? nameOf(node.key) ?? (functionTypes.has(node.type) ? '(inner)' : named);
    for (const child of childrenOf(node)) visit(child, name);
  };
  visit(file.program, '(top)');
  return found;
}

function complexityOf(body: SourceNode): number {
  let ways = 1;
  walk(body, (node) => {
    if (node !== body && functionTypes.has(node.type)) return false;
    if (branchTypes.has(node.type) || (node.type === 'SwitchCase' && node.test !== null)) ways++;
    return true;
  });
  return ways;
}

/** How often a file tells the compiler "this is not null" without a check. */
export function assertionsOf(file: SourceFile): number {
  let count = 0;
  walk(file.program, (node) => {
    if (node.type === 'TSNonNullExpression') count++;
    return true;
  });
  return count;
}

/**
 * Names that a file exports and that neither another file nor the file itself uses.
 * @param all every file that may use them, tests included
 */
export function unusedExports(
  files: readonly SourceFile[],
  all: readonly SourceFile[],
): { file: string; name: string }[] {
  const words = new Map(all.map((file) => [file, wordsOf(file.text)]));
  return files.flatMap((file) =>
    exportsOf(file)
      .filter((name) => !all.some((other) => (words.get(other)?.get(name) ?? 0) > (other.text === file.text ? 1 : 0)))
      .map((name) => ({ file: file.name, name })),
  );
}

export function exportsOf(file: SourceFile): string[] {
  return childrenOf(file.program)
    .filter((node) => node.type === 'ExportNamedDeclaration')
    .flatMap((node) => childrenOf(node))
    .flatMap((node) =>
      node.type === 'VariableDeclaration'
        ? childrenOf(node).map((declarator) => nameOf(declarator.id))
        : node.type === 'ExportSpecifier'
          ? [nameOf(node.exported)]
          : [nameOf(node.id)],
    )
    .filter((name): name is string => name !== undefined);
}

/** Names of the functions that a file exports. */
export function exportedFunctionsOf(file: SourceFile): string[] {
  return childrenOf(file.program)
    .filter((node) => node.type === 'ExportNamedDeclaration')
    .flatMap(childrenOf)
    .flatMap((node) => {
      if (node.type === 'FunctionDeclaration') return [nameOf(node.id)];
      if (node.type !== 'VariableDeclaration') return [];
      return childrenOf(node)
        .filter((declarator) => childrenOf(declarator).some(({ type }) => functionTypes.has(type)))
        .map((declarator) => nameOf(declarator.id));
    })
    .filter((name): name is string => name !== undefined);
}

function wordsOf(text: string): Map<string, number> {
  const count = new Map<string, number>();
  for (const [word] of text.matchAll(/[A-Za-z_$][\w$]*/g)) count.set(word, (count.get(word) ?? 0) + 1);
  return count;
}

const nameOf = (value: unknown): string | undefined =>
  typeof value === 'object' && value !== null && 'name' in value && typeof value.name === 'string'
    ? value.name
    : undefined;

const lineAt = (text: string, at: number): number => text.slice(0, at).split('\n').length;
