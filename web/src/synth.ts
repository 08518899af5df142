// Tones of the page's own, for a report that has no program behind it.
import type { Engine } from "./player";
import { amplitude, brightness, due, firstFrom, hertz, type Level, type Note } from "./sound";

const ahead = 0.25; // seconds that are scheduled beforehand
const release = 0.3; // seconds a tone has to die away

interface Voice {
  note: Note;
  gain: GainNode;
  filter: BiquadFilterNode;
  source: OscillatorNode | AudioBufferSourceNode;
  until: number;
}

export class Synth implements Engine {
  private context: AudioContext | undefined;
  private out: GainNode | undefined;
  private volume = 0.8;
  private next = 0;
  private started = 0;
  private from = 0;
  private speed = 1;
  private level: Level = "printed";
  private voices = new Set<Voice>();

  constructor(private notes: readonly Note[]) {}

  get now(): number {
    return this.context?.currentTime ?? 0;
  }

  begin(at: number, level: Level, speed: number): Promise<number> {
    this.context ??= new AudioContext();
    this.out ??= master(this.context, this.volume);
    void this.context.resume();
    [this.from, this.level, this.speed] = [at, level, speed];
    this.started = this.now + 0.1;
    this.next = firstFrom(this.notes, at);
    this.look();
    return Promise.resolve(this.started);
  }

  look(): number {
    const horizon = this.from + (this.now + ahead - this.started) * this.speed;
    const batch = due(this.notes, this.next, horizon);
    this.next = batch.next;
    for (const n of batch.notes) this.sound(n, this.started + (n.at - this.from) / this.speed);
    for (const v of this.voices) if (v.until < this.now) this.voices.delete(v);
    return 0;
  }

  stop(): void {
    for (const v of this.voices) silence(v, this.now);
    this.voices.clear();
  }

  setLevel(level: Level): void {
    this.level = level;
    for (const v of this.voices) {
      if (v.note[level] <= 0) continue;
      v.filter.frequency.setTargetAtTime(brightness(v.note[level], v.note.key), this.now, 0.03);
      v.gain.gain.cancelScheduledValues(this.now);
      v.gain.gain.setTargetAtTime(amplitude(v.note[level]), this.now, 0.03);
      if (!v.note.holds) v.gain.gain.setTargetAtTime(0, this.now + 0.1, fade(v.note.key));
      v.gain.gain.setTargetAtTime(0, Math.max(v.until - release, this.now + 0.1), 0.05);
    }
  }

  setVolume(share: number): void {
    this.volume = share;
    if (this.out) this.out.gain.setTargetAtTime(share ** 2, this.now, 0.02);
  }

  private sound(note: Note, when: number): void {
    const level = note[this.level];
    if (level <= 0) return;
    const c = this.context!;
    const at = Math.max(when, c.currentTime);
    const end = at + Math.max(note.for / this.speed, 0.05);
    const gain = c.createGain();
    const filter = c.createBiquadFilter();
    filter.type = "lowpass";
    filter.frequency.value = brightness(level, note.key);
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(amplitude(level), at + (note.holds ? 0.04 : 0.006));
    if (!note.holds) gain.gain.setTargetAtTime(0, at + 0.01, fade(note.key));
    const source = note.drum ? knock(c) : string(c, note.key);
    source.connect(filter).connect(gain).connect(this.out!);
    source.start(at);
    gain.gain.setTargetAtTime(0, end, 0.05);
    source.stop(end + release);
    this.voices.add({ note, gain, filter, source, until: end + release });
  }
}

/** Seconds in which a struck tone falls to a third: low tones ring longer. */
function fade(key: number): number {
  return 1.4 * 2 ** ((60 - key) / 24);
}

function silence(v: Voice, now: number): void {
  v.gain.gain.cancelScheduledValues(now);
  v.gain.gain.setTargetAtTime(0, now, 0.02);
  v.source.stop(now + 0.15);
}

function string(c: AudioContext, key: number): OscillatorNode {
  const o = c.createOscillator();
  o.type = "sawtooth";
  o.frequency.value = hertz(key);
  return o;
}

/** A short noise for notes without pitch. */
function knock(c: AudioContext): AudioBufferSourceNode {
  const b = c.createBuffer(1, Math.floor(c.sampleRate * 0.15), c.sampleRate);
  const d = b.getChannelData(0);
  let seed = 1;
  for (let i = 0; i < d.length; i++) {
    seed = (seed * 16807) % 2147483647;
    d[i] = (seed / 1073741824 - 1) * Math.exp((-5 * i) / d.length);
  }
  const s = c.createBufferSource();
  s.buffer = b;
  return s;
}

/** Keeps many voices together from clipping, and the ears safe. */
function master(c: AudioContext, share: number): GainNode {
  const volume = c.createGain();
  const limit = c.createDynamicsCompressor();
  limit.threshold.value = -9;
  limit.ratio.value = 12;
  volume.gain.value = share ** 2;
  volume.connect(limit).connect(c.destination);
  return volume;
}
