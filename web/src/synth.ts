// The tones of the program for a report that has no program behind it: tone.go
// and wave.go of internal/midi once more, sample for sample. The two are held
// together by internal/midi/testdata/tones.json.
import type { Level } from "./pieces";
import type { Pairs } from "./time";

const rate = 44_100;
const block = 256; // samples in which strengths move in a straight line
const partials = 12;
const perStep = 3.5; // decibels a step of level
const attack = 0.004; // seconds of a struck tone
const swell = 0.04; // seconds of a sustained one
const release = 0.12; // seconds after a note's end
const drumFade = 0.09; // seconds in which a drum falls to a third

/** How a part sounds; see Voice in internal/midi. */
export interface Voice {
  ratios?: number[];
  strength?: number[];
  quicker?: number[];
  fade: number;
  rings?: boolean;
  pan: number;
}

export interface Note {
  at: number; // seconds
  end: number; // seconds
  key: number; // MIDI key, 60 for middle C
  level: number; // in steps, accent included
  drum?: boolean;
}

/** What a part plays; the curve is its running level, for tones that hold. */
export interface Part extends Voice {
  curve?: Pairs; // seconds, steps
  notes: readonly Note[];
}

/** Amplitude of a level: 1 for fff, silence for 0. */
function loudness(level: number): number {
  const x = 10 ** (((level - 8) * perStep) / 20);
  return level < 1 ? x * Math.max(level, 0) : x;
}

/** A number from -1 to 1 that looks random, always the same for a seed (Marsaglia 2003, Xorshift RNGs). */
function noise(seed: number): number {
  let x = (Math.imul(seed, 2654435761) + 1) | 0;
  x ^= x << 13;
  x ^= x >>> 17;
  x ^= x << 5;
  return (x >>> 0) / 2 ** 31 - 1;
}

class Tone {
  readonly at: number;
  private readonly end: number;
  private readonly frequency: number;
  private readonly fade: number;
  private readonly first: number; // running level at its start
  private readonly weight = new Float64Array(partials);
  private readonly a = new Float64Array(partials);
  private readonly b = new Float64Array(partials);
  private tilted = NaN; // the level for which the weights hold

  constructor(
    private readonly note: Note,
    readonly voice: Part,
    private readonly seed: number,
    private readonly speed: number,
  ) {
    this.at = note.at / speed;
    this.end = note.end / speed;
    this.frequency = 440 * 2 ** ((note.key - 69) / 12);
    this.fade = Math.min(Math.max(voice.fade * Math.sqrt(262 / this.frequency), 0.2 * voice.fade), 2.5 * voice.fade);
    this.first = this.running(this.at);
  }

  over(at: number): boolean {
    return at > this.end + release && (!this.voice.rings || at > this.at + 8 * this.fade);
  }

  /** Sounds over one block that begins at a time. */
  add(out: Float64Array, from: number): void {
    if (this.note.drum) return this.addDrum(out, from);
    this.strengths(this.a, from);
    this.strengths(this.b, from + block / rate);
    for (let k = 0; k < partials; k++) {
      const [a, b] = [this.a[k]!, this.b[k]!];
      if (a >= 1e-6 || b >= 1e-6) this.addPartial(out, from, this.ratio(k), a, b);
    }
  }

  private addPartial(out: Float64Array, from: number, ratio: number, a: number, b: number): void {
    const turn = 2 * Math.PI * this.frequency * ratio;
    const phase = (turn * (from - this.at)) % (2 * Math.PI);
    let [sin, cos] = [Math.sin(phase), Math.cos(phase)];
    const [ds, dc] = [Math.sin(turn / rate), Math.cos(turn / rate)];
    const more = (b - a) / block;
    for (let i = 0; i < block; i++) {
      out[i]! += a * sin;
      a += more;
      const s = sin * dc + cos * ds;
      cos = cos * dc - sin * ds;
      sin = s;
    }
  }

  /** The amplitudes of the partials at a time. */
  private strengths(out: Float64Array, at: number): void {
    if (at <= this.at) {
      out.fill(0);
      return;
    }
    const since = at - this.at;
    const holds = this.voice.curve !== undefined;
    const level = this.note.level + (holds ? this.running(at) - this.first : 0);
    let shape = Math.min(since / (holds ? swell : attack), 1);
    if (at > this.end && !this.voice.rings) shape *= Math.max(0, 1 - (at - this.end) / release);
    this.tilt(level);
    shape *= loudness(level);
    for (let k = 0; k < partials; k++) out[k] = shape * this.weight[k]! * (holds ? 1 : Math.exp((-since / this.fade) * this.haste(k)));
  }

  /** The part's running level at a time. */
  private running(at: number): number {
    const curve = this.voice.curve;
    if (!curve) return this.note.level;
    let [lo, hi] = [0, curve.length];
    while (lo < hi) {
      const mid = (lo + hi) >> 1;
      if (curve[mid]![0] / this.speed <= at) lo = mid + 1;
      else hi = mid;
    }
    return lo ? curve[lo - 1]![1] : this.note.level;
  }

  /** Sets the weights for a level: the louder, the stronger the upper partials; their power always adds up to one. */
  private tilt(level: number): void {
    if (Math.abs(level - this.tilted) < 0.02) return;
    this.tilted = level;
    const held = Math.min(Math.max(level, 0), 9);
    let power = 0;
    for (let k = 0; k < partials; k++) {
      const r = this.ratio(k);
      const w = k === 0 || (r > 0 && this.frequency * r < 0.4 * rate) ? this.weigh(k, held) : 0;
      this.weight[k] = w;
      power += w * w;
    }
    for (let k = 0; k < partials; k++) this.weight[k]! *= Math.sqrt(2 / power);
  }

  private weigh(k: number, level: number): number {
    const s = this.voice.strength;
    return s && k < s.length ? s[k]! * 1.35 ** ((level - 5) * k) : (k + 1) ** -(3.2 - 0.3 * level);
  }

  private ratio(k: number): number {
    return this.voice.ratios ? (this.voice.ratios[k] ?? 0) : k + 1;
  }

  private haste(k: number): number {
    return this.voice.quicker?.[k] ?? 1 + 0.35 * k;
  }

  /** A burst of noise, brighter when louder. */
  private addDrum(out: Float64Array, from: number): void {
    const strength = 2 * loudness(this.note.level);
    const smooth = Math.min(0.15 + 0.09 * this.note.level, 0.95);
    let held = 0;
    for (let i = 0; i < block; i++) {
      const since = from - this.at + i / rate;
      if (since < 0) continue;
      held += smooth * (noise(this.seed + Math.trunc(since * rate)) - held);
      out[i]! += strength * held * Math.exp(-since / drumFade);
    }
  }
}

/** Rounds to 16 bits. Peaks beyond four fifths are bent, not cut. */
function sample(x: number): number {
  const knee = 0.8;
  const a = Math.abs(x);
  if (a > knee) x = Math.sign(x) * (knee + (1 - knee) * Math.tanh((a - knee) / (1 - knee)));
  return Math.sign(x) * Math.round(Math.abs(x) * 32_767);
}

/** The tones of parts at a speed, in order of their start. */
function tones(parts: readonly Part[], speed: number): Tone[] {
  return parts.flatMap((p, i) => p.notes.map((n, k) => new Tone(n, p, i * 7919 + k, speed))).sort((a, b) => a.at - b.at);
}

const slice = 40; // blocks between which the page may do something else

export class Synth {
  private made: { name: string; tones: Tone[] } | undefined;

  /** parts gives what is played at a loudness. */
  constructor(
    private readonly gain: number,
    private readonly parts: (level: Level) => readonly Part[],
  ) {}

  /** Samples [from, to), from at the beginning of a block, as 16 bit stereo. */
  async pcm(level: Level, speed: number, from: number, to: number): Promise<ArrayBuffer> {
    const name = `${level} ${speed}`;
    if (this.made?.name !== name) this.made = { name, tones: tones(this.parts(level), speed) };
    const near = this.made.tones.filter((t) => t.at < to / rate && !t.over(from / rate));
    const out = new Int16Array(2 * (to - from));
    for (let at = from, n = 1; at < to; at += block, n++) {
      this.mix(out.subarray(2 * (at - from)), near, at);
      if (n % slice === 0) await new Promise((done) => setTimeout(done));
    }
    return out.buffer;
  }

  private mix(out: Int16Array, list: readonly Tone[], at: number): void {
    const [from, to] = [at / rate, (at + block) / rate];
    const [left, right, one] = [new Float64Array(block), new Float64Array(block), new Float64Array(block)];
    for (const t of list) {
      if (t.at >= to || t.over(from)) continue;
      one.fill(0);
      t.add(one, from);
      const [l, r] = [Math.sqrt(0.5 - t.voice.pan / 2), Math.sqrt(0.5 + t.voice.pan / 2)];
      for (let i = 0; i < block; i++) {
        left[i]! += l * one[i]!;
        right[i]! += r * one[i]!;
      }
    }
    for (let i = 0; 2 * i < Math.min(out.length, 2 * block); i++) {
      out[2 * i] = sample(this.gain * left[i]!);
      out[2 * i + 1] = sample(this.gain * right[i]!);
    }
  }
}
