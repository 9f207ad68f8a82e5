/**
 * The tempo map of a standard MIDI file (MIDI 1.0, "Standard MIDI Files 1.0", RP-001): header, then the set
 * tempo (FF 51) and time signature (FF 58) events of all tracks.
 */
export interface TempoMap {
  /** Ticks per quarter note. */
  division: number;
  /** Rising ticks. */
  tempi: { tick: number; microsecondsPerQuarter: number }[];
  /** Last tick of any track. */
  lastTick: number;
}

export function readTempoMap(bytes: Uint8Array): TempoMap {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const tag = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (tag(0) !== 'MThd') throw new Error('Not a standard MIDI file.');
  const division = view.getUint16(12);
  if (division & 0x8000) throw new Error('SMPTE time divisions are not read.');
  const map: TempoMap = { division, tempi: [], lastTick: 0 };
  for (let at = 8 + view.getUint32(4); at + 8 <= bytes.length;) {
    const length = view.getUint32(at + 4);
    if (tag(at) === 'MTrk') readTrack(bytes.subarray(at + 8, at + 8 + length), map);
    at += 8 + length;
  }
  map.tempi.sort((a, b) => a.tick - b.tick);
  return map;
}

function readTrack(data: Uint8Array, map: TempoMap): void {
  let at = 0;
  let tick = 0;
  let status = 0;
  const number = () => {
    let value = 0;
    for (;;) {
      const byte = data[at++];
      value = (value << 7) | (byte & 0x7f);
      if (byte < 0x80) return value;
    }
  };
  while (at < data.length) {
    tick += number();
    if (data[at] >= 0x80) status = data[at++];
    if (status === 0xff) {
      const type = data[at++];
      const length = number();
      if (type === 0x51) {
        const microsecondsPerQuarter = (data[at] << 16) | (data[at + 1] << 8) | data[at + 2];
        map.tempi.push({ tick, microsecondsPerQuarter });
      }
      at += length;
    } else if (status === 0xf0 || status === 0xf7) {
      const length = number();
      at += length;
    } else {
      // Programme change and channel pressure have one data byte, the other channel messages two.
      at += (status & 0xe0) === 0xc0 ? 1 : 2;
    }
    map.lastTick = Math.max(map.lastTick, tick);
  }
}

/** Times of the quarter notes from tick 0 to `until` seconds. */
export function quarterTimes(map: TempoMap, until: number): number[] {
  const out: number[] = [];
  let time = 0;
  let tick = 0;
  let next = 0;
  // The standard's default: 120 quarters a minute.
  let perQuarter = 500000;
  for (let quarter = 0; ; quarter++) {
    const target = quarter * map.division;
    while (next < map.tempi.length && map.tempi[next].tick <= target) {
      time += ((map.tempi[next].tick - tick) / map.division) * (perQuarter / 1e6);
      tick = map.tempi[next].tick;
      perQuarter = map.tempi[next++].microsecondsPerQuarter;
    }
    time += ((target - tick) / map.division) * (perQuarter / 1e6);
    tick = target;
    if (time >= until) return out;
    out.push(time);
  }
}
