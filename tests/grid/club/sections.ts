/** Which parts play when: blocks of four, eight or sixteen bars, as tracks for mixing are laid out. */
import type { Random } from '../random.ts';

export const CLUB_PARTS = [
  'kick',
  'back',
  'hats',
  'percussion',
  'bass',
  'pluck',
  'stab',
  'pad',
  'voice',
] as const;
export type ClubPart = (typeof CLUB_PARTS)[number];

export interface Block {
  bars: number;
  parts: ReadonlySet<ClubPart>;
  /** 0..1: how far the whole is low-passed. */
  muffled: number;
  /** The block ends in a roll or riser that leads on. */
  leads: boolean;
}

const has = (...parts: ClubPart[]) => new Set(parts);

/** Blocks that fill at least `bars` bars. */
export function clubBlocks(bars: number, r: Random): Block[] {
  const extra = CLUB_PARTS.filter(
    (part) => (part === 'pluck' || part === 'voice' || part === 'pad') && r.chance(0.6),
  );
  const full = has('kick', 'back', 'hats', 'percussion', 'bass', 'stab', ...extra);
  const block = (length: number, parts: ReadonlySet<ClubPart>, muffled = 0, leads = false): Block => ({
    bars: length,
    parts,
    muffled,
    leads,
  });
  const unit = r.pick([4, 8, 8, 8, 16]);
  const out: Block[] = [];
  const intro = r.int(0, 4);
  if (intro === 0) out.push(block(unit, has('kick')), block(unit, has('kick', 'hats', 'percussion')));
  if (intro === 1) out.push(block(unit, has('pad', 'pluck'), 0.6, true));
  if (intro === 2) out.push(block(unit, has('hats', 'percussion')), block(unit, has('kick', 'hats', 'bass')));
  if (intro === 3) out.push(block(unit, has('kick', 'hats', 'back', 'percussion')));
  if (intro === 4)
    out.push(block(unit, has('voice', 'pad')), block(unit, has('stab', 'hats', 'pad'), 0.4, true));
  const drop = () => {
    const without = r.pick<ClubPart[]>([[], ['back'], ['percussion'], ['stab'], ['bass']]);
    out.push(block(unit, new Set([...full].filter((part) => !without.includes(part)))), block(unit, full));
  };
  const breakdown = () => {
    const kind = r.int(0, 3);
    if (kind === 0) out.push(block(unit, has('pad', 'voice', ...extra), 0, true));
    if (kind === 1)
      out.push(
        block(unit, has('pad', 'pluck', 'stab')),
        block(unit, has('pad', 'pluck', 'back', 'stab'), 0.3, true),
      );
    if (kind === 2) out.push(block(unit, has('bass', 'pad', 'percussion', 'hats'), 0, r.chance(0.5)));
    if (kind === 3) out.push(block(unit, full, 0.9, r.chance(0.5)));
  };
  const total = () => out.reduce((sum, b) => sum + b.bars, 0);
  while (total() < bars) {
    drop();
    if (total() < bars) breakdown();
  }
  return out;
}
