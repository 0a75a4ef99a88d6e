import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';

export interface StyleSheet {
  readonly name: string;
  readonly text: string;
}

export function styleSheets(src: string): StyleSheet[] {
  return readdirSync(src, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.css'))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()
    .map((path) => ({ name: relative(src, path).split(sep).join('/'), text: readFileSync(path, 'utf8') }));
}

/** Class names that more than one sheet mentions, each with those sheets. */
export function sharedClassNames(sheets: readonly StyleSheet[]): Map<string, string[]> {
  const users = new Map<string, Set<string>>();
  for (const { name, text } of sheets)
    for (const selector of selectorsOf(text))
      for (const used of classesOf(selector)) users.set(used, (users.get(used) ?? new Set()).add(name));
  return new Map([...users].filter(([, names]) => names.size > 1).map(([used, names]) => [used, [...names]]));
}

/**
 * Class names that two sheets style side by side, so that which screen was opened first decides how a part looks. One
 * sheet may style a shared name by itself; any other only inside a part of its own, that is with a class in the selector
 * which no other sheet mentions.
 */
export function clashingClassNames(sheets: readonly StyleSheet[]): { name: string; sheets: string[] }[] {
  const shared = sharedClassNames(sheets);
  const claims = new Map<string, Set<string>>();
  for (const { name, text } of sheets)
    for (const selector of selectorsOf(text)) {
      const used = classesOf(selector);
      if (used.some((one) => !shared.has(one))) continue;
      for (const one of used) claims.set(one, (claims.get(one) ?? new Set()).add(name));
    }
  return [...claims].filter(([, by]) => by.size > 1).map(([name, by]) => ({ name, sheets: [...by] }));
}

const classesOf = (selector: string): string[] =>
  [...selector.matchAll(/\.([A-Za-z][\w-]*)/g)].map(([, name = '']) => name);

/** Every selector of a sheet, nested ones written out. */
function selectorsOf(text: string): string[] {
  const found: string[] = [];
  /** What the blocks around here select; null for a block of conditions such as `@media`. */
  const around: (readonly string[] | null)[] = [];
  let written = '';
  for (const sign of text.replace(/\/\*[\s\S]*?\*\//g, '')) {
    if (sign === '{') {
      const head = written.trim();
      const outer = around.findLast((block) => block !== null) ?? [''];
      const own = head.startsWith('@') ? null : head.split(/,(?![^()]*\))/).flatMap((one) => outer.map(within(one)));
      if (own) found.push(...own);
      around.push(own);
      written = '';
    } else if (sign === '}') {
      around.pop();
      written = '';
    } else if (sign === ';') written = '';
    else written += sign;
  }
  return found;
}

const within =
  (selector: string) =>
  (outer: string): string =>
    (selector.includes('&') ? selector.replaceAll('&', outer) : `${outer} ${selector}`).trim();
