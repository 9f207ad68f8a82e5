/** How much room the browser gives, and whether it may clear it away. */
import { SENTENCES } from './sentences.ts';

/** The part of `navigator.storage` that is used; all of it may be missing in a browser. */
export type StorageLike = Partial<Pick<StorageManager, 'estimate' | 'persist' | 'persisted'>>;

/** Room that kept audio leaves free for analyses and settings: about ten analyses of club tracks, estimate. */
export const RESERVE_BYTES = 40_000_000;

export interface Room {
  enough: boolean;
  /** Bytes that audio may still take, or null when the browser does not say. */
  free: number | null;
}

/** Asks whether `bytes` more of audio fit. Where the browser does not say, they are taken to fit: the write decides. */
export async function roomFor(bytes: number, storage: StorageLike | undefined): Promise<Room> {
  let estimate: StorageEstimate | undefined;
  try {
    estimate = await storage?.estimate?.();
  } catch {
    estimate = undefined; // Some browsers refuse in private windows.
  }
  if (estimate?.quota === undefined || estimate.usage === undefined) return { enough: true, free: null };
  const free = Math.max(0, estimate.quota - estimate.usage - RESERVE_BYTES);
  return { enough: bytes <= free, free };
}

export type Persistence = 'granted' | 'refused' | 'unknown';

/** Asks the browser not to clear the library when the disk runs short. */
export async function askPersistence(storage: StorageLike | undefined): Promise<Persistence> {
  try {
    if (await storage?.persisted?.()) return 'granted';
    const granted = await storage?.persist?.();
    return granted === undefined ? 'unknown' : granted ? 'granted' : 'refused';
  } catch {
    return 'unknown';
  }
}

/** What the browser says of the room that this page has; null where it does not say. */
export interface RoomReport {
  /** bytes */
  used: number | null;
  /** bytes */
  allowed: number | null;
  /** Whether the browser has promised not to clear it when the disk runs short. */
  safe: boolean | null;
}

export async function roomReport(storage: StorageLike | undefined): Promise<RoomReport> {
  const [estimate, safe] = await Promise.all([
    storage?.estimate?.().catch(() => undefined),
    storage?.persisted?.().catch(() => undefined),
  ]);
  return { used: estimate?.usage ?? null, allowed: estimate?.quota ?? null, safe: safe ?? null };
}

/** True for the error of a write that found no room (its class differs between browsers, its name does not). */
export function isQuotaError(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  if (error.name === 'QuotaExceededError') return true;
  return error.cause !== undefined && isQuotaError(error.cause);
}

/** The sentence for audio that does not fit. */
export function noRoomSentence(name: string, bytes: number, room: Room): string {
  return SENTENCES.noRoomForAudio(name, bytes, room.free);
}
