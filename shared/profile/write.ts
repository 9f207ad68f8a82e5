/** Writing profiles: one stable text for one profile, one fact per line, as the formatter would leave it. */
import { FACTS, PaletteSchema, ProfileFileSchema } from './schema.ts';
import type { ProfileFile } from './schema.ts';

/** Longest line that stays in one piece; the formatter's own limit. */
const LINE_WIDTH = 110;

/** Keys of each object in the order of the schema, so that the order in memory does not matter. */
function inOrder(file: ProfileFile): Record<string, unknown> {
  const pick = (from: object, keys: readonly string[]) =>
    Object.fromEntries(
      keys.flatMap((key) => {
        const value = (from as Record<string, unknown>)[key];
        return value === undefined ? [] : [[key, value]];
      }),
    );
  const facts = Object.fromEntries(
    Object.entries(FACTS).map(([group, schema]) => {
      const values = file.facts[group as keyof typeof FACTS] as Record<string, object>;
      const names = Object.keys(schema.entries);
      return [
        group,
        Object.fromEntries(names.map((name) => [name, pick(values[name], ['value', 'from', 'note'])])),
      ];
    }),
  );
  return {
    ...pick(file, Object.keys(ProfileFileSchema.entries)),
    facts,
    palette: pick(file.palette, Object.keys(PaletteSchema.entries)),
  };
}

/** The text of the profile's file. */
export function writeProfile(file: ProfileFile): string {
  return `${lines(inOrder(file), '', 0, 0)}\n`;
}

/** `used`: characters on the line before and after the value. Objects of objects are always spread out. */
function lines(value: unknown, indent: string, used: number, depth: number): string {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const short = oneLine(value);
  const spread = !Array.isArray(value) && depth < 3;
  if (!spread && used + short.length <= LINE_WIDTH) return short;
  const inner = `${indent}  `;
  const entries = Array.isArray(value)
    ? value.map((item) => `${inner}${lines(item, inner, inner.length + 1, depth + 1)}`)
    : Object.entries(value).map(([key, item]) => {
        const name = `${inner}${JSON.stringify(key)}: `;
        return `${name}${lines(item, inner, name.length + 1, depth + 1)}`;
      });
  const [open, close] = Array.isArray(value) ? '[]' : '{}';
  return `${open}\n${entries.join(',\n')}\n${indent}${close}`;
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value).map(([key, item]) => `${JSON.stringify(key)}: ${oneLine(item)}`);
  return `{ ${entries.join(', ')} }`;
}
