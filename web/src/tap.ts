// The microphone's samples as they come, for recorder.ts. It runs beside the page's
// own work, so that nothing is lost while the page is busy.
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(name: string, run: new () => AudioWorkletProcessor): void;

const piece = 2048; // samples that are sent at once

registerProcessor(
  "tap",
  class extends AudioWorkletProcessor {
    private held = new Float32Array(piece);
    private filled = 0;

    process([channels]: Float32Array[][]): boolean {
      const from = channels?.[0];
      if (!from) return true;
      for (const x of from) {
        this.held[this.filled++] = x;
        if (this.filled < piece) continue;
        this.port.postMessage(this.held, [this.held.buffer]);
        this.held = new Float32Array(piece);
        this.filled = 0;
      }
      return true;
    }
  },
);
