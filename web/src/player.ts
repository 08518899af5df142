// Plays the notes with tones of our own, a little ahead of time, so that the
// loudness can change places while it plays.
import { amplitude, brightness, due, firstFrom, hertz, type Level, type Note } from "./sound";

const ahead = 0.25; // seconds that are scheduled beforehand
const every = 60; // milliseconds between looks
const release = 0.3; // seconds a tone has to die away

interface Voice {
  note: Note;
  gain: GainNode;
  filter: BiquadFilterNode;
  source: OscillatorNode | AudioBufferSourceNode;
  until: number;
}

export class Player {
  private context: AudioContext | undefined;
  private out: AudioNode | undefined;
  private notes: readonly Note[] = [];
  private next = 0;
  private started = 0; // the context's time at which `from` sounds
  private from = 0;
  private timer = 0;
  private voices = new Set<Voice>();
  private level: Level = "printed";
  private speed = 1;
  private length = 0;
  onEnd: () => void = () => {};

  load(notes: readonly Note[], length: number): void {
    this.stop();
    this.notes = notes;
    this.length = length;
  }

  get playing(): boolean {
    return this.timer !== 0;
  }

  /** Seconds of the performance that sound now. */
  get position(): number {
    if (!this.context || !this.playing) return this.from;
    return Math.max(this.from + (this.context.currentTime - this.started) * this.speed, this.from);
  }

  play(at: number): void {
    this.stop();
    this.context ??= new AudioContext();
    this.out ??= master(this.context);
    void this.context.resume();
    this.from = at;
    this.started = this.context.currentTime + 0.1;
    this.next = firstFrom(this.notes, at);
    this.timer = window.setInterval(() => this.look(), every);
    this.look();
  }

  stop(): void {
    this.from = this.position;
    clearInterval(this.timer);
    this.timer = 0;
    for (const v of this.voices) silence(v, this.context!.currentTime);
    this.voices.clear();
  }

  /** Changes the loudness at the place where it plays. */
  setLevel(level: Level): void {
    this.level = level;
    if (!this.context) return;
    const now = this.context.currentTime;
    for (const v of this.voices) {
      if (v.note[level] <= 0) continue;
      v.filter.frequency.setTargetAtTime(brightness(v.note[level], v.note.key), now, 0.03);
      v.gain.gain.cancelScheduledValues(now);
      v.gain.gain.setTargetAtTime(amplitude(v.note[level]), now, 0.03);
      if (!v.note.holds) v.gain.gain.setTargetAtTime(0, now + 0.1, fade(v.note.key));
      v.gain.gain.setTargetAtTime(0, Math.max(v.until - release, now + 0.1), 0.05);
    }
  }

  setSpeed(speed: number): void {
    const at = this.position;
    const playing = this.playing;
    this.stop();
    this.speed = speed;
    if (playing) this.play(at);
  }

  private look(): void {
    const now = this.context!.currentTime;
    const horizon = this.from + (now + ahead - this.started) * this.speed;
    const batch = due(this.notes, this.next, horizon);
    this.next = batch.next;
    for (const n of batch.notes) this.sound(n, this.started + (n.at - this.from) / this.speed);
    for (const v of this.voices) if (v.until < now) this.voices.delete(v);
    if (this.position > this.length + 0.5) {
      this.stop();
      this.from = 0;
      this.onEnd();
    }
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
    const voice = { note, gain, filter, source, until: end + release };
    gain.gain.setTargetAtTime(0, end, 0.05);
    source.stop(end + release);
    this.voices.add(voice);
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
function master(c: AudioContext): AudioNode {
  const limit = c.createDynamicsCompressor();
  limit.threshold.value = -9;
  limit.ratio.value = 12;
  limit.connect(c.destination);
  return limit;
}
