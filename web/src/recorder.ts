// Records from the microphone, as it sounds: nothing that evens out or cleans up.
import { peak, wav } from "./wav";

const longest = 10 * 60; // seconds

/** Why there is no recording, in words. */
export class NoMicrophone extends Error {}

function inWords(e: unknown): NoMicrophone {
  const name = e instanceof DOMException ? e.name : "";
  if (name === "NotAllowedError") return new NoMicrophone("The microphone was not allowed. Allow it for this page in the browser, or open a recording made elsewhere.");
  if (name === "NotFoundError") return new NoMicrophone("There is no microphone. Connect one, or open a recording made elsewhere.");
  return new NoMicrophone(`The microphone cannot be used${e instanceof Error ? `: ${e.message}` : ""}. Open a recording made elsewhere.`);
}

export class Recorder {
  private context: AudioContext | undefined;
  private stream: MediaStream | undefined;
  private pieces: Float32Array[] = [];
  private count = 0;
  /** Hears the highest sample of the last moment, and how many seconds there are. */
  onLevel: (top: number, seconds: number) => void = () => {};
  onFull: () => void = () => {};

  /** tap is the address of tap.js. */
  constructor(private tap: string) {}

  get on(): boolean {
    return this.stream !== undefined;
  }

  /** Begins; its result is a warning if the browser changes the loudness all the same. */
  async start(): Promise<string> {
    if (!navigator.mediaDevices) throw new NoMicrophone("This page cannot reach a microphone: the browser allows it only over https and on this machine.");
    try {
      const stream = await navigator.mediaDevices.getUserMedia({ audio: { autoGainControl: false, noiseSuppression: false, echoCancellation: false, channelCount: 1 } });
      this.stream = stream;
      const context = new AudioContext();
      this.context = context;
      await context.audioWorklet.addModule(this.tap);
      const tap = new AudioWorkletNode(context, "tap", { numberOfOutputs: 0, channelCount: 1, channelCountMode: "explicit" });
      this.pieces = [];
      this.count = 0;
      tap.port.onmessage = ({ data }: MessageEvent<Float32Array>) => this.take(data);
      context.createMediaStreamSource(stream).connect(tap);
      await context.resume();
      return changed(stream);
    } catch (e) {
      this.close();
      throw inWords(e);
    }
  }

  private take(samples: Float32Array): void {
    if (!this.context) return;
    this.pieces.push(samples);
    this.count += samples.length;
    const seconds = this.count / this.context.sampleRate;
    this.onLevel(peak(samples), seconds);
    if (seconds >= longest) this.onFull();
  }

  /** Ends; the recording as a WAV file, undefined if nothing came. */
  stop(): ArrayBuffer | undefined {
    const rate = this.context?.sampleRate ?? 0;
    const pieces = this.pieces;
    this.close();
    this.pieces = [];
    return pieces.length ? wav(pieces, rate) : undefined;
  }

  private close(): void {
    for (const t of this.stream?.getTracks() ?? []) t.stop();
    void this.context?.close();
    this.stream = undefined;
    this.context = undefined;
  }
}

/** A warning if a browser does not do as it was asked. */
function changed(stream: MediaStream): string {
  const s = stream.getAudioTracks()[0]?.getSettings();
  const still = [s?.autoGainControl ? "automatic gain" : "", s?.noiseSuppression ? "noise suppression" : "", s?.echoCancellation ? "echo cancellation" : ""].filter(Boolean);
  return still.length ? `This browser keeps ${still.join(" and ")} on: the loudness of the take tells little.` : "";
}
