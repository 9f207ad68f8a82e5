/** Does one thing in a process of its own and prints the largest resident set, KB. */
import { readFileSync } from 'node:fs';
import { analyseTrack } from '../../workers/analyse.ts';
import { fileSource } from '../../workers/decode/node-source.ts';
import { openTrack } from '../../workers/decode/open.ts';

const [what, path] = process.argv.slice(2);
const source = await fileSource(path);
if (what === 'analyse') await analyseTrack(source, { onEarly: () => {} });
if (what === 'decode') for await (const _block of (await openTrack(source)).blocks());
await source.close();
console.log(peakKilobytes());

/** On Linux `getrusage` starts at the parent's peak, so the kernel's own mark (proc(5), VmHWM) is read there. */
function peakKilobytes(): number {
  if (process.platform !== 'linux') return process.resourceUsage().maxRSS;
  return Number(/VmHWM:\s*(\d+)/.exec(readFileSync('/proc/self/status', 'utf8'))?.[1]);
}
