// Pure functions between the time that sounds, the time on the page, and the place there.

/** Pairs that rise in their first number; in between in proportion. */
export type Pairs = ReadonlyArray<readonly [number, number]>;

/** A system: its stretch of the page in quarter notes, its size in units, where its moments stand. */
export interface System {
  from: number;
  to: number;
  width: number;
  height: number;
  anchors: Pairs;
}

/** The last index whose first number is at most v, -1 if there is none. */
export function lastAtMost(pairs: Pairs, v: number): number {
  let lo = 0;
  let hi = pairs.length;
  while (lo < hi) {
    const mid = (lo + hi) >> 1;
    if (pairs[mid]![0] <= v) lo = mid + 1;
    else hi = mid;
  }
  return lo - 1;
}

/** The second number that belongs to v; outside the pairs that of the nearer end. */
export function between(pairs: Pairs, v: number): number {
  const i = lastAtMost(pairs, v);
  if (pairs.length === 0) return 0;
  if (i < 0) return pairs[0]![1];
  const a = pairs[i]!;
  const b = pairs[i + 1];
  if (!b || b[0] === a[0]) return a[1];
  return a[1] + ((b[1] - a[1]) * (v - a[0])) / (b[0] - a[0]);
}

/** The first second at which the quarter note q of the page sounds; 0 if it never does. */
export function firstSounding(knots: Pairs, q: number): number {
  for (let i = 0; i + 1 < knots.length; i++) {
    const a = knots[i]!;
    const b = knots[i + 1]!;
    if (q >= a[1] && q < b[1] && b[0] > a[0]) return a[0] + ((b[0] - a[0]) * (q - a[1])) / (b[1] - a[1]);
  }
  return 0;
}

/** Which system holds the quarter note q, and where in it, in units. */
export function placeOf(systems: readonly System[], q: number): { system: number; x: number } | undefined {
  for (let i = 0; i < systems.length; i++) {
    const s = systems[i]!;
    if (q >= s.from && (q < s.to || i === systems.length - 1)) return { system: i, x: between(s.anchors, q) };
  }
  return undefined;
}

/** The index of the measure that holds the quarter note q. */
export function measureAt(starts: readonly number[], q: number): number {
  let i = 0;
  while (i + 1 < starts.length && starts[i + 1]! <= q + 1e-9) i++;
  return i;
}

const parts: readonly (readonly [number, string])[] = [
  [0.25, "¼"],
  [0.5, "½"],
  [0.75, "¾"],
  [1 / 3, "⅓"],
  [2 / 3, "⅔"],
];

/** A beat as a player counts it: "2", "2½"; between other parts of it "2+". */
export function counted(beat: string): string {
  const whole = Math.floor(Number(beat));
  const rest = Number(beat) - whole;
  if (!(rest > 0)) return beat;
  return `${whole}${parts.find(([size]) => Math.abs(size - rest) < 0.01)?.[1] ?? "+"}`;
}
