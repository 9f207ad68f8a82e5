/** Errors of writing, told apart. */
import { CopyFault } from '../../workers/copy/types.ts';
import { DecodeFault } from '../../workers/decode/types.ts';
import { JobFault } from '../queue/job.ts';
import { faultSentence } from './sentences.ts';
import { TakeFault, type TakeFaultCode } from './types.ts';

/** What was written does not read back. */
export class CheckFault extends Error {
  override name = 'CheckFault';
}

/** Names of DOMException as the File System standard has them (https://fs.spec.whatwg.org/). */
const CODES: Record<string, TakeFaultCode> = {
  QuotaExceededError: 'full',
  NotAllowedError: 'permission',
  SecurityError: 'permission',
  NoModificationAllowedError: 'permission',
  NotFoundError: 'gone',
  InvalidStateError: 'gone',
};

/** @param path that was being written */
export function takeFault(
  error: unknown,
  path: string,
  leftovers: readonly string[],
  signal?: AbortSignal,
): TakeFault {
  const detail = error instanceof Error ? error.message : String(error);
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  const ofSource = error instanceof JobFault || error instanceof DecodeFault || error instanceof CopyFault;
  const code: TakeFaultCode = signal?.aborted
    ? 'cancelled'
    : error instanceof CheckFault
      ? 'check'
      : ofSource
        ? 'source'
        : (CODES[name] ?? 'unexpected');
  return new TakeFault(code, faultSentence(code, path, detail, leftovers), leftovers, { cause: error });
}
