import { notebookToJson } from '../src/log/notebook-json.ts';
import { serve } from '../src/commands/serve.ts';
import { largeEvents } from './benchmarks/large-events.ts';
import { launch } from './browser/browser.ts';
import { writeFileSync } from 'node:fs';
const dists = process.argv.slice(2);
const json = Buffer.from(notebookToJson({ id: 'large', events: largeEvents(100, 500) }));
const open = [];
for (const d of dists) {
  const served = await serve(d, 0);
  const l = await launch({ viewport: { width: 390, height: 844 } });
  l.page.setDefaultTimeout(240_000);
  await l.page.goto(served.address);
  await l.page.locator('input[type=file]').first().setInputFiles({ name: 'large.json', mimeType: 'application/json', buffer: json });
  await l.page.getByRole('link', { name: 'Readings' }).waitFor();
  await l.page.waitForTimeout(6000);
  open.push({ d, served, l, times: [] as number[] });
}
for (let i = 0; i < 5; i++) for (const o of open) {
  await o.l.page.goto('about:blank'); await o.l.page.waitForTimeout(300);
  const s = process.env.PROF && i === 2 ? await o.l.context.newCDPSession(o.l.page) : null;
  if (s) { await s.send('Profiler.enable'); await s.send('Profiler.start'); }
  await o.l.page.goto(`${o.served.address}#/bench`);
  await o.l.page.getByRole('img', { name: /after 500 readings/ }).waitFor();
  o.times.push(Math.round(await o.l.page.evaluate(() => performance.now())));
  if (s) { const { profile } = await s.send('Profiler.stop'); writeFileSync(`${o.d}/../open-${open.indexOf(o)}.cpuprofile`, JSON.stringify(profile)); await s.detach(); }
}
for (const o of open) { console.log(o.d, o.times.join(' ')); await o.l.close(); await o.served.close(); }
