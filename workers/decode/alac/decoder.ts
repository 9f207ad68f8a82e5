/**
 * ALAC packets to samples: a decoder of our own after the openly published format
 * (https://github.com/macosforge/alac, Apache licence: magic cookie and bit stream).
 */
import { BitReader } from '../bit-reader.ts';
import type { Block } from '../types.ts';
import { ALAC_ORDER, type AlacCookie } from './cookie.ts';
import { golombBlock } from './golomb.ts';
import { unpredict } from './predictor.ts';

/** Kinds of element in a packet. */
const SINGLE = 0;
const PAIR = 1;
const LOW_FREQUENCY = 3;
const DATA = 4;
const FILL = 6;
const END = 7;
/** The predictor is run twice when a channel's mode is not 0. */
const FIRST_DIFFERENCE = 31;

interface ChannelHead {
  mode: number;
  shift: number;
  pbFactor: number;
  coefficients: Int16Array;
}

export class AlacDecoder {
  private readonly residual: Int32Array;
  private readonly work: Int32Array[];
  private readonly low: Uint16Array[];
  private readonly scale: number;
  private readonly order: number[];

  constructor(private readonly cookie: AlacCookie) {
    this.residual = new Int32Array(cookie.frameLength);
    this.work = [new Int32Array(cookie.frameLength), new Int32Array(cookie.frameLength)];
    this.low = [new Uint16Array(cookie.frameLength), new Uint16Array(cookie.frameLength)];
    this.scale = 2 ** (1 - cookie.bitDepth);
    this.order = ALAC_ORDER[cookie.channels];
  }

  /**
   * Decodes one packet.
   * @returns one array per channel in WAV order, linear
   * @throws Error when the packet is damaged
   */
  packet(bytes: Uint8Array): Block {
    const r = new BitReader(bytes);
    const stored: Block = [];
    while (stored.length < this.cookie.channels) {
      const kind = r.small(3);
      if (r.overrun || kind === END) break;
      if (kind === SINGLE || kind === LOW_FREQUENCY) this.element(r, 1, stored);
      else if (kind === PAIR) this.element(r, 2, stored);
      else if (kind === DATA) this.skipData(r);
      else if (kind === FILL) this.skipFill(r);
      else throw new Error('kind of element');
      if (r.overrun) throw new Error('end of data');
    }
    // There is no checksum; a packet whose end mark is not where it should be was read wrongly.
    while (stored.length === this.cookie.channels) {
      const kind = r.small(3);
      if (kind === END && !r.overrun) break;
      if (kind === DATA) this.skipData(r);
      else if (kind === FILL) this.skipFill(r);
      else throw new Error('no end mark');
      if (r.overrun) throw new Error('end of data');
    }
    const samples = stored[0]?.length ?? 0;
    if (stored.length !== this.cookie.channels || stored.some((x) => x.length !== samples))
      throw new Error('channels');
    return this.order.map((i) => stored[i]);
  }

  private channelHead(r: BitReader): ChannelHead {
    const mode = r.small(4);
    const shift = r.small(4);
    const pbFactor = r.small(3);
    const coefficients = new Int16Array(r.small(5));
    for (let k = 0; k < coefficients.length; k++) coefficients[k] = r.small(16);
    return { mode, shift, pbFactor, coefficients };
  }

  private element(r: BitReader, channels: 1 | 2, stored: Block): void {
    const { cookie, low, work, scale } = this;
    r.small(4); // instance tag
    if (r.small(12) !== 0) throw new Error('reserved bits');
    const isPartial = r.small(1) === 1;
    const lowBytes = r.small(2);
    const isPlain = r.small(1) === 1;
    if (lowBytes === 3) throw new Error('low bytes');
    const count = isPartial ? r.bits(32) : cookie.frameLength;
    if (count > cookie.frameLength) throw new Error('length');

    let lowBits = 0;
    if (isPlain) {
      for (let i = 0; i < count; i++)
        for (let c = 0; c < channels; c++) work[c][i] = r.signed(cookie.bitDepth);
    } else {
      lowBits = lowBytes * 8;
      // A pair's difference needs one bit more than a sample.
      const bits = cookie.bitDepth - lowBits + (channels - 1);
      if (bits > 32) throw new Error('bits');
      const mixShift = r.small(8);
      const mixWeight = (r.small(8) << 24) >> 24;
      const heads = Array.from({ length: channels }, () => this.channelHead(r));
      // The low bytes of all samples stand before the coded part.
      if (lowBits > 0)
        for (let i = 0; i < count; i++) for (let c = 0; c < channels; c++) low[c][i] = r.small(lowBits);
      for (let c = 0; c < channels; c++) this.channel(r, heads[c], work[c], count, bits);
      if (channels === 2 && mixWeight !== 0) unmix(work[0], work[1], count, mixShift, mixWeight);
    }
    if (r.overrun) throw new Error('end of data');
    for (let c = 0; c < channels; c++) {
      const out = new Float32Array(count);
      const high = 2 ** lowBits;
      if (lowBits > 0) for (let i = 0; i < count; i++) out[i] = (work[c][i] * high + low[c][i]) * scale;
      else for (let i = 0; i < count; i++) out[i] = work[c][i] * scale;
      stored.push(out);
    }
  }

  private channel(r: BitReader, head: ChannelHead, out: Int32Array, count: number, bits: number): void {
    const { pb, mb, kb } = this.cookie;
    const { coefficients, mode, shift } = head;
    golombBlock(r, { pb: (pb * head.pbFactor) >> 2, mb, kb }, this.residual, count, bits);
    if (mode !== 0) unpredict(this.residual, this.residual, count, coefficients, FIRST_DIFFERENCE, bits, 0);
    unpredict(this.residual, out, count, coefficients, coefficients.length, bits, shift);
  }

  private skipData(r: BitReader): void {
    r.small(4);
    const aligned = r.small(1) === 1;
    let count = r.small(8);
    if (count === 255) count += r.small(8);
    if (aligned) r.align();
    r.position += count * 8;
  }

  private skipFill(r: BitReader): void {
    let count = r.small(4);
    if (count === 15) count += r.small(8) - 1;
    r.position += count * 8;
  }
}

/** Mid and side in place to left and right. */
function unmix(u: Int32Array, v: Int32Array, count: number, shift: number, weight: number): void {
  for (let i = 0; i < count; i++) {
    const left = (u[i] + v[i] - (Math.imul(weight, v[i]) >> shift)) | 0;
    v[i] = (left - v[i]) | 0;
    u[i] = left;
  }
}
