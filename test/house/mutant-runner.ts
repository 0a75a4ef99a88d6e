import { appendFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { relative } from 'node:path';
import { collectTests, type File, getFn, getHooks, type Suite, type Task, type Test } from '@vitest/runner';
import { vi } from 'vitest';
import { VitestTestRunner } from 'vitest/runners';
import { type LogWord, type Mutant, mutantList, mutantLog, slowTests } from './mutant-files.ts';

/** What the instrumented source reads and writes while it runs. */
interface Switches {
  activeMutant?: string | undefined;
  currentTestId?: string | undefined;
  hitCount?: number | undefined;
  hitLimit?: number | undefined;
  mutantCoverage?: { static: Counts; perTest: Record<string, Counts> };
}
type Counts = Record<string, number>;

/** A test that passes without a fault, with how long it took and how often it came by each fault. */
interface Usable {
  readonly name: string;
  readonly ms: number;
  readonly hits: Counts;
}

const switches: Switches = {};
Reflect.set(globalThis, '__stryker__', switches);
/** The clock's own, which no fake clock of a test replaces. */
const { setTimeout: later, clearTimeout: never, performance: clock } = globalThis;
const now = clock.now.bind(clock);

/** Tests that use the processor for longer are left out: with them a room takes days. */
const slowestMs = Number(process.env.MUTANT_SLOWEST_MS ?? 1500);
/** A fault that is met so many times more often than usual runs in circles. */
const circles = 100;

/**
 * Runs the tests of one file once, then again with each fault that they come by, quickest first, until one fails. All in
 * one process: nothing is loaded anew between two faults unless a fault leaves something behind.
 */
export default class MutantRunner extends VitestTestRunner {
  #path = '';
  #tests = new Map<string, Test>();

  async onBeforeRunFiles(files: File[]): Promise<void> {
    for (const file of files) {
      this.#path = file.filepath;
      await this.#take(file);
      await this.#tryAll(await this.#dryRun());
      for (const test of this.#tests.values()) await finish(test.file);
      for (const task of file.tasks) skip(task);
    }
  }

  get #name(): string {
    return relative(process.cwd(), this.#path);
  }

  #log(word: LogWord, id = '-'): void {
    appendFileSync(mutantLog, `${word}\t${id}\t${this.#name}\n`);
  }

  async #take(file: File): Promise<void> {
    this.#tests = new Map(testsOf(file).map((test) => [fullName(test), test]));
    await begin(file);
  }

  /** The modules loaded anew, with no fault on. */
  async #again(): Promise<void> {
    switches.activeMutant = undefined;
    vi.useRealTimers();
    vi.resetModules();
    const [file] = await collectTests([this.#path], this);
    if (file) await this.#take(file);
  }

  async #dryRun(): Promise<Usable[]> {
    const slow: Record<string, number> = existsSync(slowTests) ? JSON.parse(readFileSync(slowTests, 'utf8')) : {};
    const usable: Usable[] = [];
    for (const [name, test] of this.#tests) {
      const key = `${this.#name} ${name}`;
      if ((slow[key] ?? 0) > slowestMs) continue;
      switches.currentTestId = name;
      const from = now();
      const before = process.cpuUsage();
      const passed = await passes(test, 60_000);
      const ms = now() - from;
      const used = process.cpuUsage(before);
      const cpuMs = (used.user + used.system) / 1000;
      this.#log('alive');
      switches.currentTestId = undefined;
      if (cpuMs > slowestMs) {
        slow[key] = cpuMs;
        // At once: a file that is given up is not waited for again.
        writeFileSync(slowTests, JSON.stringify(slow));
      } else if (passed === 'passed') usable.push({ name, ms, hits: switches.mutantCoverage?.perTest[name] ?? {} });
      else console.error(`left out, does not pass by itself: ${key}`);
    }
    return usable.toSorted((a, b) => a.ms - b.ms);
  }

  async #tryAll(usable: readonly Usable[]): Promise<void> {
    const mutants: Mutant[] = JSON.parse(readFileSync(mutantList, 'utf8'));
    const past = readFileSync(mutantLog, 'utf8')
      .trim()
      .split('\n')
      .map((line) => line.split('\t'));
    const settled = new Set(
      past.flatMap(([word = '', id = '', by]) =>
        word === 'killed' || word === 'stuck' || (word === 'survived' && by === this.#name) ? [id] : [],
      ),
    );
    for (const { id } of mutants) {
      if (switches.mutantCoverage?.static[id]) this.#log('static', id);
      const covering = usable.filter(({ hits }) => hits[id]);
      if (settled.has(id) || covering.length === 0) continue;
      this.#log('trying', id);
      this.#log((await this.#caught(id, covering)) ? 'killed' : 'survived', id);
    }
    this.#log('done');
  }

  async #caught(id: string, covering: readonly Usable[]): Promise<boolean> {
    for (const { name, ms, hits } of covering) {
      let end = await this.#withFault(id, name, ms, hits[id] ?? 0);
      if (end === 'not met') {
        // Something that an earlier test left behind (a table made once) hides the fault.
        await this.#again();
        end = await this.#withFault(id, name, ms, hits[id] ?? 0);
      }
      if (end === 'late') {
        await this.#again();
        return true;
      }
      if (end !== 'failed') continue;
      if ((await this.#withFault(undefined, name, ms, 0)) === 'passed') return true;
      // The fault left something behind; if the test still fails with all loaded anew, it fails by itself at times.
      await this.#again();
      if ((await this.#withFault(undefined, name, ms, 0)) === 'passed') return true;
    }
    return false;
  }

  async #withFault(id: string | undefined, name: string, ms: number, hits: number): Promise<End | 'not met'> {
    const test = this.#tests.get(name);
    if (!test) return 'passed';
    switches.activeMutant = id;
    switches.hitCount = 0;
    switches.hitLimit = hits * circles + 1000;
    const end = await passes(test, 5000 + 20 * ms);
    const met = switches.hitCount;
    switches.activeMutant = undefined;
    switches.hitCount = undefined;
    return end === 'passed' && id !== undefined && met === 0 ? 'not met' : end;
  }
}

type End = 'passed' | 'failed' | 'late';

async function passes(test: Test, limitMs: number): Promise<End> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<End>((resolve) => {
    timer = later(() => resolve('late'), limitMs);
  });
  const end = await Promise.race([outcome(test), late]);
  never(timer);
  return end;
}

async function outcome(test: Test): Promise<End> {
  const above = suitesOf(test);
  const clean: unknown[] = [];
  let end: End = 'passed';
  try {
    for (const suite of above)
      for (const hook of getHooks(suite).beforeEach) clean.push(await hook(test.context, suite));
    await getFn(test)();
  } catch {
    end = 'failed';
  }
  try {
    for (const suite of above.toReversed())
      for (const hook of getHooks(suite).afterEach) await hook(test.context, suite);
    for (const undo of clean.toReversed()) if (typeof undo === 'function') await undo();
  } catch {
    end = 'failed';
  }
  return end;
}

/** Suites around a test, outermost first: the file itself is one. */
function suitesOf(test: Test): Suite[] {
  const above: Suite[] = [];
  for (let suite = test.suite; suite; suite = suite.suite) above.unshift(suite);
  if (above[0] !== test.file) above.unshift(test.file);
  return above;
}

const testsOf = (task: Task): Test[] =>
  task.mode === 'skip' || task.mode === 'todo' ? [] : task.type === 'test' ? [task] : task.tasks.flatMap(testsOf);

const suitesIn = (task: Task): Suite[] => (task.type === 'suite' ? [task, ...task.tasks.flatMap(suitesIn)] : []);

async function begin(file: File): Promise<void> {
  for (const suite of suitesIn(file)) for (const hook of getHooks(suite).beforeAll) await hook(suite);
}

async function finish(file: File): Promise<void> {
  for (const suite of suitesIn(file).toReversed()) for (const hook of getHooks(suite).afterAll) await hook(suite);
}

function fullName(test: Test): string {
  return [...suitesOf(test).slice(1), test].map(({ name }) => name).join(' > ');
}

/** The usual run that follows has nothing left to do. */
function skip(task: Task): void {
  task.mode = 'skip';
  if (task.type === 'suite') for (const inside of task.tasks) skip(inside);
}
