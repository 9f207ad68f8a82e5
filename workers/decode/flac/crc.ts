/** Checksums of FLAC frames. RFC 9639 sections 9.1.8 and 9.3. */

const CRC8_POLYNOMIAL = 0x07;
const CRC16_POLYNOMIAL = 0x8005;

const crc8Table = Uint8Array.from({ length: 256 }, (_, i) => {
  let c = i;
  for (let k = 0; k < 8; k++) c = c & 0x80 ? (c << 1) ^ CRC8_POLYNOMIAL : c << 1;
  return c & 0xff;
});

const crc16Table = Uint16Array.from({ length: 256 }, (_, i) => {
  let c = i << 8;
  for (let k = 0; k < 8; k++) c = c & 0x8000 ? (c << 1) ^ CRC16_POLYNOMIAL : c << 1;
  return c & 0xffff;
});

/** CRC-8 of the bytes [start, end). */
export function crc8(b: Uint8Array, start: number, end: number): number {
  let c = 0;
  for (let i = start; i < end; i++) c = crc8Table[c ^ b[i]];
  return c;
}

/** CRC-16 of the bytes [start, end). */
export function crc16(b: Uint8Array, start: number, end: number): number {
  let c = 0;
  for (let i = start; i < end; i++) c = crc16Table[(c >> 8) ^ b[i]] ^ ((c << 8) & 0xffff);
  return c;
}
