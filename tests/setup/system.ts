/**
 * What the tests need of the machine: a Chromium for the browser tests, ffmpeg for making audio files, and others
 * that read what we write.
 * Where one is missing and Debian's package tool is there, it is installed; else the sentence says what to do.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** Where a Chromium is looked for, best first. */
const CHROMIUM_PATHS = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

export function chromiumPath(): string | null {
  const named = process.env.CHROMIUM_PATH;
  return [...(named ? [named] : []), ...CHROMIUM_PATHS].find((path) => existsSync(path)) ?? null;
}

export function hasCommand(name: string): boolean {
  return spawnSync('sh', ['-c', `command -v ${name}`], { stdio: 'ignore' }).status === 0;
}

/** Installs Debian packages; false where that is not possible. */
function aptInstall(packages: string[]): boolean {
  if (!hasCommand('apt-get')) return false;
  const sudo = process.getuid?.() === 0 ? [] : hasCommand('sudo') ? ['sudo', '-n'] : null;
  if (!sudo) return false;
  const run = (args: string[]) => {
    const [command, ...rest] = [...sudo, 'apt-get', ...args];
    execFileSync(command, rest, {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    });
  };
  try {
    console.log(`Installing ${packages.join(', ')} for the tests…`);
    run(['update', '-qq']);
    run(['install', '-y', '-qq', '--no-install-recommends', ...packages]);
    return true;
  } catch {
    return false;
  }
}

/** Sees to it that browser and ffmpeg are there. Throws with the remedy when they are not. */
export function ensureSystem(): void {
  const missing = [
    ...(chromiumPath() ? [] : ['chromium']),
    ...(hasCommand('ffmpeg') ? [] : ['ffmpeg']),
    ...(hasCommand('sox') ? [] : ['sox']),
    ...(hasCommand('flac') ? [] : ['flac']),
    ...(hasCommand('pdftoppm') ? [] : ['poppler-utils']),
  ];
  if (missing.length) aptInstall(missing);
  if (!chromiumPath()) {
    throw new Error(
      'No Chromium was found. Install one and set CHROMIUM_PATH to it, then run npm test again.',
    );
  }
  if (!hasCommand('ffmpeg')) {
    throw new Error('ffmpeg was not found. Install it, then run npm test again.');
  }
}
