// Sound in pieces, the same that the program's files have, fetched a little ahead
// from the program or from the report's own tones (synth.ts) and put together
// without a seam.

/** As printed, as the proposed line, and as the same bent beat by beat. */
export type Level = "printed" | "shaped" | "beats";

/** Samples [from, to) at a speed, 16 bit stereo. */
export type Fetch = (level: Level, speed: number, from: number, to: number) => Promise<ArrayBuffer>;

const rate = 44_100; // samples a second, as the program makes them
const block = 256; // samples of which pieces consist
const ahead = 2.5; // seconds that are readied beforehand
const kept = 16; // pieces
const fade = 0.03; // seconds

interface Sounding {
  source: AudioBufferSourceNode;
  gain: GainNode;
  until: number;
}

export class Pieces {
  private context: AudioContext | undefined;
  private out: GainNode | undefined;
  private volume = 0.8;
  private store = new Map<string, Promise<AudioBuffer>>();
  private sounding: Sounding[] = [];
  private run = 0; // what was asked last
  private next = 0; // index of the next piece
  private when = 0; // the context's time at which it must begin
  private coming = false;
  private late = 0;
  private level: Level = "printed";
  private speed = 1;

  private piece: number; // samples

  /** blocks are those of a piece, about four seconds unless said. */
  constructor(
    private fetch: Fetch,
    blocks = 690,
  ) {
    this.piece = blocks * block;
  }

  /** Another performance: what was fetched is of no use any more. */
  forget(): void {
    this.stop();
    this.store.clear();
  }

  /** The context's time. */
  get now(): number {
    return this.context?.currentTime ?? 0;
  }

  /** Sounds from a second at full speed on; the context's time at which it begins, or undefined if something else was asked meanwhile. */
  async begin(at: number, level: Level, speed: number): Promise<number | undefined> {
    const mine = ++this.run;
    this.context ??= new AudioContext({ sampleRate: rate });
    this.out ??= master(this.context, this.volume);
    void this.context.resume();
    [this.level, this.speed] = [level, speed];
    const sample = Math.round((at / speed) * rate);
    this.next = Math.floor(sample / this.piece);
    const buffer = await this.get(this.next);
    if (mine !== this.run) return undefined;
    const start = this.now + 0.06;
    const offset = (sample - this.next * this.piece) / rate;
    this.sound(buffer, start, offset);
    this.next++;
    this.when = start + buffer.duration - offset;
    this.late = 0;
    this.look();
    return start;
  }

  /** Sees to what must sound soon; how many seconds the sound came too late since the last look. */
  look(): number {
    this.sounding = this.sounding.filter((s) => s.until > this.now);
    if (!this.coming && this.when - this.now < ahead) void this.more(this.run);
    const late = this.late;
    this.late = 0;
    return late;
  }

  private async more(mine: number): Promise<void> {
    this.coming = true;
    try {
      const buffer = await this.get(this.next);
      if (mine !== this.run) return;
      if (this.when < this.now) {
        this.late += this.now + 0.02 - this.when;
        this.when = this.now + 0.02;
      }
      this.sound(buffer, this.when, 0, false);
      this.next++;
      this.when += buffer.duration;
    } catch {
      // told when the next beginning fails too; a gap until then
    } finally {
      this.coming = false;
    }
  }

  /** A piece that goes on from the one before must not fade in. */
  private sound(buffer: AudioBuffer, at: number, offset: number, begins = true): void {
    const gain = this.context!.createGain();
    const source = this.context!.createBufferSource();
    source.buffer = buffer;
    source.connect(gain).connect(this.out!);
    if (begins && offset > 0) {
      gain.gain.setValueAtTime(0, at);
      gain.gain.linearRampToValueAtTime(1, at + fade);
    }
    source.start(at, offset);
    this.sounding.push({ source, gain, until: at + buffer.duration - offset });
  }

  private get(index: number): Promise<AudioBuffer> {
    const key = `${this.level} ${this.speed} ${index}`;
    const known = this.store.get(key);
    if (known) return known;
    const made = this.fetch(this.level, this.speed, index * this.piece, (index + 1) * this.piece).then((bytes) => this.decode(bytes));
    this.store.set(key, made);
    made.catch(() => this.store.delete(key));
    for (const old of this.store.keys()) if (this.store.size > kept) this.store.delete(old);
    return made;
  }

  private decode(bytes: ArrayBuffer): AudioBuffer {
    const samples = new Int16Array(bytes, 0, Math.floor(bytes.byteLength / 4) * 2);
    const buffer = this.context!.createBuffer(2, Math.max(samples.length / 2, 1), rate);
    for (const side of [0, 1]) {
      const to = buffer.getChannelData(side);
      for (let i = 0; 2 * i < samples.length; i++) to[i] = samples[2 * i + side]! / 32_768;
    }
    return buffer;
  }

  stop(): void {
    this.run++;
    for (const s of this.sounding) {
      s.gain.gain.cancelScheduledValues(this.now);
      s.gain.gain.setTargetAtTime(0, this.now, fade / 3);
      s.source.stop(this.now + 3 * fade);
    }
    this.sounding = [];
  }

  /** The other loudness at the same place: fetched first, then one fades into the other. */
  setLevel(level: Level, at: number): void {
    const mine = this.run;
    const asked = this.now;
    this.level = level;
    const index = Math.floor(((at / this.speed) * rate) / this.piece);
    void Promise.all([this.get(index), this.get(index + 1)]).then(([one, two]) => {
      if (mine !== this.run || this.level !== level) return;
      const sample = ((at / this.speed + this.now - asked + 0.02) * rate) | 0; // where it has come to
      const first = Math.floor(sample / this.piece);
      if (first > index + 1) return;
      for (const s of this.sounding) {
        s.gain.gain.cancelScheduledValues(this.now);
        s.gain.gain.setTargetAtTime(0, this.now + 0.02, fade / 3);
        s.source.stop(this.now + 0.02 + 3 * fade);
      }
      this.sounding = [];
      const buffer = first === index ? one : two;
      const offset = (sample - first * this.piece) / rate;
      this.sound(buffer, this.now + 0.02, offset);
      this.next = first + 1;
      this.when = this.now + 0.02 + buffer.duration - offset;
    }, () => {});
  }

  setVolume(share: number): void {
    this.volume = share;
    if (this.out) this.out.gain.setTargetAtTime(share ** 2, this.now, 0.02);
  }
}

/** The volume, and before the ears a limit. */
function master(c: AudioContext, share: number): GainNode {
  const volume = c.createGain();
  const limit = c.createDynamicsCompressor();
  limit.threshold.value = -6;
  limit.ratio.value = 12;
  volume.gain.value = share ** 2;
  volume.connect(limit).connect(c.destination);
  return volume;
}
