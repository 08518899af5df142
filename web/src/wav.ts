// Samples as a WAV file, and files that only the browser can read.

/** A WAV file of one channel, 16 bit. */
export function wav(pieces: readonly Float32Array[], rate: number): ArrayBuffer {
  const count = pieces.reduce((n, p) => n + p.length, 0);
  const out = new DataView(new ArrayBuffer(44 + 2 * count));
  const text = (at: number, s: string): void => [...s].forEach((c, i) => out.setUint8(at + i, c.charCodeAt(0)));
  text(0, "RIFF");
  out.setUint32(4, 36 + 2 * count, true);
  text(8, "WAVEfmt ");
  out.setUint32(16, 16, true);
  out.setUint16(20, 1, true); // whole numbers
  out.setUint16(22, 1, true); // channels
  out.setUint32(24, rate, true);
  out.setUint32(28, 2 * rate, true);
  out.setUint16(32, 2, true);
  out.setUint16(34, 16, true);
  text(36, "data");
  out.setUint32(40, 2 * count, true);
  let at = 44;
  for (const p of pieces) {
    for (const x of p) {
      out.setInt16(at, Math.max(-32_768, Math.min(32_767, Math.round(x * 32_768))), true);
      at += 2;
    }
  }
  return out.buffer;
}

/** The samples a second that the program works with. */
const working = 22_050;

/** A sound that the browser can read, as a WAV file; undefined if it cannot. */
export async function decoded(bytes: ArrayBuffer): Promise<ArrayBuffer | undefined> {
  const sound = await new OfflineAudioContext(1, 1, working).decodeAudioData(bytes.slice(0)).catch(() => undefined);
  if (!sound) return undefined;
  const mono = new Float32Array(sound.length);
  for (let c = 0; c < sound.numberOfChannels; c++) sound.getChannelData(c).forEach((x, i) => (mono[i]! += x / sound.numberOfChannels));
  return wav([mono], working);
}

/** A level in decibels below full scale, -90 at least. */
export function decibels(x: number): number {
  return Math.max(20 * Math.log10(Math.max(x, 1e-9)), -90);
}

/** The highest of samples. */
export function peak(samples: Float32Array): number {
  return samples.reduce((top, x) => Math.max(top, Math.abs(x)), 0);
}
