import { nth } from '../numerics/nth.ts';

/**
 * JSON values turned on their side: what stands in the same place of many records is written together, numbers as
 * steps from the one before, repeated identifiers as places in a list. The result is plain JSON that compresses to
 * about half of what the records themselves would.
 *
 * A column of n values is one of
 *   ['=', v]                      all equal to v (a JSON value)
 *   ['i', d1, d2 …]               whole numbers, as steps; ['I', x1, x2 …] as they are
 *   ['n', d1, d2 …]               numbers with at most one decimal, as steps in tenths; ['N', x1, x2 …] as tenths
 *   ['f', x1, x2 …]               numbers of single precision, in as few digits as name them
 *   ['v', v1, v2 …]               anything, as it stands
 *   ['r', …column]                strings that are identifiers, as steps in the list of identifiers
 *   ['o', shapes, which, columns] objects: lists of keys, which list each object has, a column for each key
 *   ['a', lengths, items]         arrays: a column of lengths, a column of all items
 *   ['t', types, columns]         of several types: a column of type names, a column for each type
 */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

type Kind = 'null' | 'boolean' | 'number' | 'string' | 'array' | 'object';

const kindOf = (value: Json): Kind => {
  if (value === null) return 'null';
  if (Array.isArray(value)) return 'array';
  const type = typeof value;
  return type === 'object' ? 'object' : type === 'boolean' ? 'boolean' : type === 'number' ? 'number' : 'string';
};

/** What looks like an identifier: parts joined by dashes, perhaps with the number of a reading. */
const identifier = /^[0-9A-Za-z]+(-[0-9A-Za-z]+)+(#\d+)?$/;

/** Writes columns; collects identifiers as it meets them. */
export interface ColumnWriter {
  write(values: readonly Json[]): Json;
  /** Identifiers in order of first use. */
  identifiers(): readonly string[];
}

export function makeColumnWriter(): ColumnWriter {
  const places = new Map<string, number>();
  const place = (id: string): number => {
    const known = places.get(id);
    if (known !== undefined) return known;
    places.set(id, places.size);
    return places.size - 1;
  };

  function write(values: readonly Json[]): Json {
    const first = values[0];
    if (first === undefined) return ['v'];
    if (values.every((value) => value === first) && typeof first !== 'object') return ['=', first];
    const kinds = values.map(kindOf);
    const kind = kindOf(first);
    if (kinds.some((other) => other !== kind)) {
      const types = [...new Set(kinds)];
      return [
        't',
        types,
        write(kinds.map((own) => types.indexOf(own))),
        types.map((type) => write(values.filter((_, i) => kinds[i] === type))),
      ];
    }
    switch (kind) {
      case 'number':
        return numbers(values as readonly number[]);
      case 'string':
        return strings(values as readonly string[]);
      case 'array':
        return arrays(values as readonly (readonly Json[])[]);
      case 'object':
        return objects(values as readonly { readonly [key: string]: Json }[]);
      case 'null':
        return ['=', null];
      case 'boolean':
        return ['v', ...values];
    }
  }

  function strings(values: readonly string[]): Json {
    if (values.every((value) => identifier.test(value))) return ['r', ...steps(values.map(place))];
    return ['v', ...values];
  }

  function arrays(values: readonly (readonly Json[])[]): Json {
    return ['a', write(values.map((list) => list.length)), write(values.flat(1))];
  }

  function objects(values: readonly { readonly [key: string]: Json }[]): Json {
    const shapes: string[][] = [];
    const known = new Map<string, number>();
    const which = values.map((value) => {
      const keys = Object.keys(value).sort();
      const name = JSON.stringify(keys);
      const place = known.get(name) ?? shapes.push(keys) - 1;
      known.set(name, place);
      return place;
    });
    // One column per key over all shapes that have it, in order of first use.
    const keys = [...new Set(shapes.flat())];
    const columns = keys.map((key) =>
      write(
        values.flatMap((value) => {
          const member = Object.hasOwn(value, key) ? value[key] : undefined;
          return member === undefined ? [] : [member];
        }),
      ),
    );
    return ['o', shapes.map((shape) => shape.map((key) => keys.indexOf(key))), keys, write(which), columns];
  }

  return { write, identifiers: () => [...places.keys()] };
}

function numbers(values: readonly number[]): Json {
  const tenths = values.map((value) => Math.round(value * 10));
  const exact = values.every(
    (value) => Math.round(value * 10) / 10 === value && Math.abs(value) < 2 ** 50 / 10 && !Object.is(value, -0),
  );
  if (exact) return tenths.every((value) => value % 10 === 0) ? shorter('i', 'I', values) : shorter('n', 'N', tenths);
  if (values.every((value) => Math.fround(value) === value)) return ['f', ...values.map(shortestSingle)];
  return ['v', ...values];
}

/** Steps suit what grows, the numbers themselves what scatters. */
function shorter(stepsTag: string, plainTag: string, values: readonly number[]): Json {
  const asSteps: Json = [stepsTag, ...steps(values)];
  const plain: Json = [plainTag, ...values];
  return JSON.stringify(asSteps).length <= JSON.stringify(plain).length ? asSteps : plain;
}

const steps = (values: readonly number[]): number[] => values.map((value, i) => value - (values[i - 1] ?? 0));

/** The number with the fewest digits that rounds to the same single-precision value. */
function shortestSingle(value: number): number {
  for (let digits = 1; digits < 10; digits++) {
    const short = Number(value.toPrecision(digits));
    if (Math.fround(short) === value) return short;
  }
  return value;
}

/** What is wrong with columns; never shown as it is. */
export class BadColumns extends Error {
  override readonly name = 'BadColumns';
}

/**
 * Reads columns back. Hostile input is expected: at most `limit` values are made in all, depth is bounded, and
 * objects get own properties only.
 * @throws BadColumns
 */
export function makeColumnReader(identifiers: readonly string[], limit: number) {
  let left = limit;
  const spend = (count: number): void => {
    left -= count;
    if (left < 0) throw new BadColumns('more values than allowed');
  };

  function read(column: Json | undefined, count: number, depth = 0): Json[] {
    if (!Array.isArray(column) || depth > 24) throw new BadColumns('not a column');
    spend(count);
    const [tag, ...rest] = column as readonly Json[];
    switch (tag) {
      case '=':
        return Array.from({ length: count }, () => rest[0] ?? null);
      case 'v':
        return exactly(rest, count);
      case 'i':
        return sums(exactly(rest, count));
      case 'I':
        return exactly(rest, count).map(number);
      case 'n':
        return sums(exactly(rest, count)).map((tenths) => tenths / 10);
      case 'N':
        return exactly(rest, count).map((tenths) => number(tenths) / 10);
      case 'f':
        return exactly(rest, count).map((value) => Math.fround(number(value)));
      case 'r':
        return sums(exactly(rest, count)).map((at) => known(identifiers[at]));
      case 'a':
        return readArrays(rest, count, depth);
      case 'o':
        return readObjects(rest, count, depth);
      case 't':
        return readTypes(rest, count, depth);
      default:
        throw new BadColumns('unknown kind of column');
    }
  }

  function readArrays([lengthColumn, items]: readonly Json[], count: number, depth: number): Json[] {
    const lengths = read(lengthColumn, count, depth + 1).map(whole);
    const total = lengths.reduce((sum, length) => sum + length, 0);
    const all = read(items, total, depth + 1);
    let at = 0;
    return lengths.map((length) => {
      at += length;
      return all.slice(at - length, at);
    });
  }

  function readObjects([shapes, keys, whichColumn, columns]: readonly Json[], count: number, depth: number): Json[] {
    const names = list(keys).map(text);
    const ofShape = list(shapes).map((shape) => list(shape).map(whole));
    const which = read(whichColumn, count, depth + 1).map((value) => known(ofShape[whole(value)]));
    const uses = names.map(() => 0);
    for (const shape of which) {
      spend(shape.length);
      for (const key of shape) uses[key] = known(uses[key]) + 1;
    }
    const members = names.map((name, key) => {
      const values = read(list(columns)[key], nth(uses, key), depth + 1).values();
      return (): [string, Json] => [name, known(values.next().value)];
    });
    // fromEntries defines own properties: a key "__proto__" stays a plain member.
    return which.map((shape) => Object.fromEntries(shape.map((key) => nth(members, key)())));
  }

  function readTypes([types, whichColumn, columns]: readonly Json[], count: number, depth: number): Json[] {
    const which = read(whichColumn, count, depth + 1).map(whole);
    const uses = list(types).map(() => 0);
    for (const type of which) uses[type] = known(uses[type]) + 1;
    const values = uses.map((use, type) => read(list(columns)[type], use, depth + 1).values());
    return which.map((type) => known(nth(values, type).next().value));
  }

  return read;
}

function exactly(values: readonly Json[], count: number): Json[] {
  if (values.length !== count) throw new BadColumns('a column of another length');
  return [...values];
}

function sums(values: readonly Json[]): number[] {
  let sum = 0;
  return values.map((value) => {
    sum += number(value);
    return sum;
  });
}

function number(value: Json): number {
  if (typeof value !== 'number') throw new BadColumns('not a number');
  return value;
}

function whole(value: Json): number {
  const n = number(value);
  if (!Number.isInteger(n) || n < 0 || n > 1e7) throw new BadColumns('not a count');
  return n;
}

function text(value: Json): string {
  if (typeof value !== 'string') throw new BadColumns('not a text');
  return value;
}

function list(value: Json | undefined): readonly Json[] {
  if (!Array.isArray(value)) throw new BadColumns('not a list');
  return value;
}

function known<T>(value: T | undefined): T {
  if (value === undefined) throw new BadColumns('a place outside its list');
  return value;
}
