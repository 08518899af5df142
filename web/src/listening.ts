// Sounds a stretch of a take: the recording itself, as it is, or simple tones for
// keys that were struck. Nothing levels it, or its loudness would not be the player's.
import type { Stroke, Taken } from "./taken";

const fade = 0.04; // seconds

export class Listening {
  private context: AudioContext | undefined;
  private source: AudioBufferSourceNode | undefined;
  private gain: GainNode | undefined;
  private decoded = new Map<Taken, AudioBuffer>();
  private run = 0;
  private volume = 0.8;
  /** Hears which second of the take sounds, until it ends. */
  onTime: (take: Taken, time: number) => void = () => {};
  onEnd: () => void = () => {};

  get on(): boolean {
    return this.source !== undefined;
  }

  /** Sounds takes one after the other; each from a second to another. */
  async play(list: readonly { take: Taken; from: number; to: number }[], begins: (i: number) => void = () => {}): Promise<void> {
    this.stop();
    const mine = ++this.run;
    this.context ??= new AudioContext();
    void this.context.resume();
    try {
      for (const [i, s] of list.entries()) {
        const buffer = await this.buffer(this.context, s.take, s.from, s.to);
        if (mine !== this.run) return;
        begins(i);
        await this.sound(this.context, s, buffer);
        if (mine !== this.run) return;
      }
    } finally {
      if (mine === this.run) this.stop();
    }
  }

  private async sound(c: AudioContext, s: { take: Taken; from: number; to: number }, b: { sound: AudioBuffer; offset: number }): Promise<void> {
    const gain = c.createGain();
    const source = c.createBufferSource();
    source.buffer = b.sound;
    source.connect(gain).connect(c.destination);
    const at = c.currentTime + 0.05;
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(this.volume ** 2, at + fade);
    const long = Math.max(Math.min(s.to, s.from + b.sound.duration - b.offset) - s.from, 0.05);
    source.start(at, b.offset, long);
    [this.source, this.gain] = [source, gain];
    const mine = this.run;
    const tell = (): void => {
      if (mine !== this.run || this.source !== source) return;
      this.onTime(s.take, s.from + Math.max(c.currentTime - at, 0));
      requestAnimationFrame(tell);
    };
    tell();
    await new Promise<void>((done) => (source.onended = () => done()));
  }

  stop(): void {
    this.run++;
    const was = this.source;
    this.source = undefined;
    if (!was || !this.context) return;
    this.gain?.gain.setTargetAtTime(0, this.context.currentTime, fade / 3);
    was.stop(this.context.currentTime + 2 * fade);
    this.onEnd();
  }

  setVolume(share: number): void {
    this.volume = share;
    if (this.gain && this.context) this.gain.gain.setTargetAtTime(share ** 2, this.context.currentTime, 0.02);
  }

  forget(): void {
    this.stop();
    this.decoded.clear();
  }

  private async buffer(c: AudioContext, t: Taken, from: number, to: number): Promise<{ sound: AudioBuffer; offset: number }> {
    if (t.keys) return { sound: tones(c, t.keys, from, to), offset: 0 };
    let sound = this.decoded.get(t);
    if (!sound) {
      sound = await c.decodeAudioData(t.bytes.slice(0));
      if (this.decoded.size > 1) this.decoded.clear();
      this.decoded.set(t, sound);
    }
    return { sound, offset: Math.min(from, sound.duration) };
  }
}

const longest = 10 * 60; // seconds of tones that are made
const dies = 0.7; // seconds in which a tone falls to a third
const release = 0.12; // seconds after the key is let go
const partials = [1, 0.35, 0.12]; // strengths

/** Keys struck, as simple tones; 40 log10 of the velocity is their level in decibels. */
function tones(c: AudioContext, keys: readonly Stroke[], from: number, to: number): AudioBuffer {
  const rate = 22_050;
  const long = Math.min(to - from, longest);
  const buffer = c.createBuffer(1, Math.max(Math.ceil(long * rate), 1), rate);
  const out = buffer.getChannelData(0);
  for (const [on, off, key, velocity] of keys) {
    if (on >= from + long || on < from - 1e-3) continue;
    const end = Math.min(Math.max(off, on + 0.05) + release, on + 5 * dies, from + long);
    const start = Math.max(Math.round((on - from) * rate), 0);
    partials.forEach((strength, k) => {
      const turn = (2 * Math.PI * 440 * 2 ** ((key - 69) / 12) * (k + 1)) / rate;
      if (turn > 2.8) return;
      const top = 0.15 * strength * (velocity / 127) ** 2;
      for (let i = 0; i < (end - on) * rate && start + i < out.length; i++) {
        const t = i / rate;
        const open = Math.min(t / 0.004, 1) * Math.min((end - on - t) / release, 1);
        out[start + i]! += top * open * Math.exp((-t * (k + 1)) / dies) * Math.sin(turn * i);
      }
    });
  }
  return buffer;
}
