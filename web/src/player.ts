// Plays a performance, once or in a loop, printed or proposed or both in turn.
import type { Level, Pieces } from "./pieces";

export interface Loop {
  from: number; // seconds
  to: number;
}

const every = 60; // milliseconds between looks

export class Player {
  private from = 0;
  private started: number | undefined; // the context's time at which `from` sounds
  private timer = 0;
  private length = 0;
  private loop: Loop | undefined;
  level: Level = "printed";
  proposed: Level = "shaped"; // what counts as proposed
  inTurn = false;
  speed = 1;
  onEnd: () => void = () => {};
  onLevel: (level: Level) => void = () => {};
  onTrouble: (e: unknown) => void = () => {};

  constructor(private sound: Pieces) {}

  load(length: number): void {
    this.stop();
    this.length = length;
    this.loop = undefined;
    this.from = 0;
  }

  get playing(): boolean {
    return this.timer !== 0;
  }

  /** Seconds of the performance that sound now. */
  get position(): number {
    if (!this.playing || this.started === undefined) return this.from;
    return Math.max(this.from + (this.sound.now - this.started) * this.speed, this.from);
  }

  play(at: number): void {
    this.stop();
    this.from = at;
    this.timer = window.setInterval(() => this.look(), every);
    void this.begin();
  }

  private async begin(): Promise<void> {
    this.started = undefined;
    try {
      const at = await this.sound.begin(this.from, this.level, this.speed);
      if (at !== undefined && this.playing) this.started = at;
    } catch (e) {
      this.stop();
      this.onTrouble(e);
      this.onEnd();
    }
  }

  stop(): void {
    this.from = this.position;
    clearInterval(this.timer);
    this.timer = 0;
    this.started = undefined;
    this.sound.stop();
  }

  /** Waits at a place. */
  seek(at: number): void {
    if (this.playing) this.play(at);
    else this.from = at;
  }

  setLoop(loop: Loop | undefined): void {
    this.loop = loop;
  }

  /** Changes the loudness at the place where it plays. */
  setLevel(level: Level): void {
    this.level = level;
    if (this.playing && this.started !== undefined) this.sound.setLevel(level, this.position);
  }

  setSpeed(speed: number): void {
    const at = this.position;
    this.speed = speed;
    if (this.playing) this.play(at);
  }

  setVolume(share: number): void {
    this.sound.setVolume(share);
  }

  private look(): void {
    if (this.started === undefined) return;
    this.started += this.sound.look();
    const at = this.position;
    if (this.loop && at >= this.loop.to) this.again(this.loop);
    else if (at > this.length + 0.5) {
      this.stop();
      this.from = 0;
      this.onEnd();
    }
  }

  /** The loop once more, with the other loudness if they take turns. */
  private again(loop: Loop): void {
    if (this.inTurn) {
      this.level = this.level === "printed" ? this.proposed : "printed";
      this.onLevel(this.level);
    }
    this.sound.stop();
    this.from = loop.from;
    void this.begin();
  }
}
