// What the engraver's module may ask for: its own read-only files, a fixed clock
// and a fixed source of numbers, nothing of the machine. It is host.go of
// internal/engrave once more, where a browser runs the module; both are held to
// internal/engrave/testdata/host.json.

// The error numbers of the C library, negated as system calls return them; of
// the fd_ calls in their own numbering.
const noEntry = -2;
const invalid = -22;
const badSeek = 28; // invalid argument, in the numbering of the fd_ calls
const tooMany = -9;
const noTerminal = -59;
const badFile = 8;
const firstFile = 3; // after stdin, stdout and stderr
const maxOpen = 64;
const page = 64 << 10;

interface File {
  data: Uint8Array;
  at: number;
}

export type Call = (...args: never[]) => number | bigint | void;

/** The surroundings of one run, whose memory is known once it has begun. */
export class Calls {
  private readonly files = new Map<string, readonly [at: number, length: number]>();
  private readonly open = new Map<number, File>();
  private dice = 7n;

  constructor(
    private readonly memory: () => WebAssembly.Memory,
    private readonly limit: number, // bytes of memory
  ) {}

  /** The zero-terminated text at a place. */
  text(at: number): Uint8Array<ArrayBuffer> {
    const all = new Uint8Array(this.memory().buffer);
    const end = all.indexOf(0, at);
    if (end < 0 || at > all.length) throw new Error("the place lies outside the engraver's memory");
    return all.slice(at, end) as Uint8Array<ArrayBuffer>;
  }

  bytes(at: number, n: number): Uint8Array {
    return new Uint8Array(this.memory().buffer, at >>> 0, n >>> 0);
  }

  private word(at: number): number {
    return new DataView(this.memory().buffer).getUint32(at >>> 0, true);
  }

  private put(at: number, v: number): void {
    new DataView(this.memory().buffer).setUint32(at >>> 0, v, true);
  }

  private string(at: number): string {
    return new TextDecoder().decode(this.text(at >>> 0));
  }

  /** What the module may ask for, by full name. What it links but does not need here answers "not available". */
  functions(): Record<string, Call> {
    const give = (n: number) => () => n;
    const stop = (why: string) => () => {
      throw new Error(`the engraver gave up: ${why}`);
    };
    return {
      assert_fail: stop("failed assertion"),
      abort_js: stop("abort"),
      exit: stop("exit"),
      emscripten_fs_load_embedded_files: (at: number) => this.loadFiles(at),
      syscall_openat: (_: number, name: number) => this.openAt(name),
      syscall_fcntl64: give(0),
      syscall_ioctl: give(noTerminal),
      syscall_getdents64: give(0),
      fd_read: (fd: number, list: number, n: number, out: number) => this.read(fd, list, n, out),
      fd_seek: (fd: number, to: bigint, from: number, out: number) => this.seek(fd, Number(to), from, out),
      fd_close: (fd: number) => (this.open.delete(fd), 0),
      fd_write: (_: number, list: number, n: number, out: number) => this.swallow(list, n, out),
      environ_sizes_get: (a: number, b: number) => (this.put(a, 0), this.put(b, 0), 0),
      environ_get: give(0),
      random_get: (at: number, n: number) => this.random(at, n),
      emscripten_date_now: give(0), // 1970
      emscripten_resize_heap: (want: number) => this.resize(want >>> 0),
      emscripten_asm_const_int: give(0), // log lines
      localtime_js: (_: bigint, at: number) => (this.bytes(at, 44).fill(0), 0), // struct tm
      mktime_js: () => 0n,
      tzset_js: give(0),
    };
  }

  /** The files the module carries: triples of name, length and content. */
  private loadFiles(at: number): void {
    for (; this.word(at) !== 0; at += 12) this.files.set(this.string(this.word(at)), [this.word(at + 8), this.word(at + 4)]);
  }

  private openAt(name: number): number {
    const at = name >>> 0;
    if (!new Uint8Array(this.memory().buffer).includes(0, at)) return invalid;
    const where = this.files.get(this.string(at));
    if (!where) return noEntry;
    for (let fd = firstFile; fd < maxOpen; fd++) {
      if (this.open.has(fd)) continue;
      this.open.set(fd, { data: this.bytes(...where).slice(), at: 0 });
      return fd;
    }
    return tooMany;
  }

  private read(fd: number, list: number, n: number, out: number): number {
    const f = this.open.get(fd);
    if (!f) return badFile;
    let total = 0;
    for (let i = 0; i < n; i++, list += 8) {
      const piece = f.data.subarray(f.at, f.at + this.word(list + 4));
      this.bytes(this.word(list), piece.length).set(piece);
      f.at += piece.length;
      total += piece.length;
    }
    this.put(out, total);
    return 0;
  }

  private seek(fd: number, to: number, from: number, out: number): number {
    const f = this.open.get(fd);
    if (!f) return badFile;
    to += from === 1 ? f.at : from === 2 ? f.data.length : 0;
    if (to < 0) return badSeek;
    f.at = to;
    new DataView(this.memory().buffer).setBigUint64(out >>> 0, BigInt(to), true);
    return 0;
  }

  /** Swallows what the engraver prints. */
  private swallow(list: number, n: number, out: number): number {
    let total = 0;
    for (let i = 0; i < n; i++, list += 8) total += this.word(list + 4);
    this.put(out, total);
    return 0;
  }

  /** A fixed sequence, that of the binary: the same score is engraved the same way every time. */
  private random(at: number, n: number): number {
    const b = this.bytes(at, n);
    for (let i = 0; i < b.length; i++) {
      const next = BigInt.asUintN(64, this.dice * 6364136223846793005n + 1442695040888963407n);
      this.dice = BigInt.asUintN(64, (next << 9n) | (next >> 55n));
      b[i] = Number((this.dice >> 32n) & 255n);
    }
    return 0;
  }

  private resize(want: number): number {
    const have = this.memory().buffer.byteLength;
    if (want <= have) return 1;
    for (const size of [Math.max(want, have + have / 5), want]) {
      if (size > this.limit) continue;
      try {
        this.memory().grow(Math.ceil((size - have) / page));
        return 1;
      } catch {
        // the device has no more: try less
      }
    }
    return 0;
  }
}
