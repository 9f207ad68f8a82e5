/** A set of two hours in one file, through the browser: how much memory the tab takes at most, and whether the page stays free. */
import { whileAnalysed, withPage } from './browser.ts';
import { footprintWhile } from './footprint.ts';
import { mostResident, peakWhile, proportional, renderers, tellsMemory } from './memory-of.ts';
import { type Bench, against } from './table.ts';
import { longMp3 } from './track.ts';

const MINUTES = 5;
const TIMES = 24;
/** Targets of the project. */
const MOST_MB = 400;
const LONGEST_TASK = 50;
const PATIENCE_MS = 900_000;

export const longBench: Bench = {
  name: 'long',
  async run() {
    if (!tellsMemory())
      return [
        { title: 'Two hours: the memory of a tab is read on Linux only, not measured', head: [], rows: [] },
      ];
    const path = longMp3(MINUTES, TIMES);
    const measured = await withPage(async (page, pid) => {
      // While the tool that drives it is attached, the tab keeps every response that a page has loaded (observed: 20 to
      // 45 MB of the demo set after a first start). A second start loads next to nothing.
      await page.reload();
      await page.getByTestId('rung').first().waitFor();
      await page.waitForTimeout(3000);
      const before = proportional(pid);
      const session = await page.context().browser()!.newBrowserCDPSession();
      const [[analysed, peak], footprint] = await footprintWhile(session, renderers(pid), () =>
        peakWhile(pid, () => whileAnalysed(page, path, PATIENCE_MS)),
      );
      return { before, peak, footprint, resident: mostResident(pid), ...analysed };
    });
    if (!measured) return [{ title: 'Two hours: no Chromium found, not measured', head: [], rows: [] }];
    const { before, peak, footprint, resident, tasks, longest, total } = measured;
    const mb = (kb: number) => Math.round(kb / 1000);
    return [
      {
        title: `A file of two hours (320 kb/s MP3, ${Math.round((MINUTES * TIMES * 60 * 40) / 1000)} MB) through the browser`,
        note:
          'Memory of the tab’s process, MB: page, workers and decoders. Proportional: pages shared with other processes ' +
          'count in part (sampled ten times a second); the browser’s own count: what is this process’s alone; resident: they count in full (the kernel’s own mark, which the ' +
          'first start, before the measuring, may have set).',
        head: ['what', 'value', 'target'],
        rows: [
          ['before, proportional', mb(before), ''],
          ['peak, proportional', mb(peak), against(mb(peak), MOST_MB)],
          ['peak, the browser’s own count', mb(footprint), against(mb(footprint), MOST_MB)],
          ['peak, resident', mb(resident), against(mb(resident), MOST_MB)],
          ['long tasks', tasks.length, `none: ${tasks.length === 0 ? 'met' : 'MISSED'}`],
          ['longest, ms', Math.round(longest), longest ? against(Math.round(longest), LONGEST_TASK) : ''],
          ['whole, s', (total / 1000).toFixed(1), ''],
        ],
      },
    ];
  },
};
