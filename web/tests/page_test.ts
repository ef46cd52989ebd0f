// One line a test, and a count at the end. A test is told apart from the next only by its sentence.
import { strict as assert } from 'node:assert';

type Body = () => Promise<void>;
const tests: { name: string; body: Body }[] = [];

export function test(name: string, body: Body): void {
  tests.push({ name, body });
}

export async function runAll(): Promise<boolean> {
  const wanted = process.env.ONLY;
  let passed = 0;
  const failures: string[] = [];
  for (const { name, body } of tests) {
    if (wanted && !name.includes(wanted)) continue;
    try {
      await body();
      passed++;
      console.log(`ok      ${name}`);
    } catch (failure) {
      const why = String(failure instanceof Error ? failure.stack : failure).replace(/^/gm, '        ');
      failures.push(`FAILED  ${name}\n${why}`);
      console.log(failures.at(-1));
    }
  }
  // Said again at the end, where a log that is cut in its middle still shows it.
  if (passed > 0) for (const failure of failures) console.log(failure);
  console.log(`${passed} passed, ${failures.length} failed`);
  return failures.length === 0 && passed > 0;
}

// Waits until a condition holds; says what was awaited when it never does.
export async function until(what: string, holds: () => Promise<boolean>, timeout_ms = 15_000): Promise<void> {
  const end = Date.now() + timeout_ms;
  while (!(await holds())) {
    if (Date.now() > end) assert.fail(`waited ${timeout_ms / 1000} s in vain until ${what}`);
    await new Promise((wait) => setTimeout(wait, 50));
  }
}
