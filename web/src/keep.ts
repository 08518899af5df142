// What the page keeps in this browser between visits: a few named things, in
// the browser's own database. Where that is closed (private windows), nothing.

/** "work …" is a score and what was done with it (memory.ts); "take …" a recording of one (taken.ts); "shared" a score another app has sent, not opened yet. */
export type Thing = `work ${string}` | `take ${string}` | "shared";

const store = "kept";

function database(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const r = indexedDB.open("hairpin", 1);
    r.onupgradeneeded = () => void r.result.createObjectStore(store);
    r.onsuccess = () => resolve(r.result);
    r.onerror = () => reject(r.error);
  });
}

async function ask<T>(mode: IDBTransactionMode, run: (s: IDBObjectStore) => IDBRequest<T>): Promise<T | undefined> {
  try {
    const db = await database();
    return await new Promise<T>((resolve, reject) => {
      const t = db.transaction(store, mode);
      const r = run(t.objectStore(store));
      t.oncomplete = () => resolve(r.result);
      t.onabort = () => reject(t.error);
    }).finally(() => db.close());
  } catch {
    return undefined;
  }
}

/** Keeps a value: plain data, files and bytes among it. */
export async function keep(name: Thing, value: unknown): Promise<void> {
  await ask("readwrite", (s) => s.put(value, name));
}

/** What is kept under a name; undefined if nothing is. */
export async function kept<T>(name: Thing): Promise<T | undefined> {
  return (await ask("readonly", (s) => s.get(name))) as T | undefined;
}

/** All values whose names begin so. */
export async function all<T>(start: string): Promise<T[]> {
  return ((await ask("readonly", (s) => s.getAll(IDBKeyRange.bound(start, `${start}\uffff`)))) ?? []) as T[];
}

export async function forget(name: Thing): Promise<void> {
  await ask("readwrite", (s) => s.delete(name));
}

/** A file as it is kept: some browsers keep no File objects. */
export interface KeptFile {
  name: string;
  bytes: ArrayBuffer;
}

export async function keepShared(file: File): Promise<void> {
  await keep("shared", { name: file.name, bytes: await file.arrayBuffer() } satisfies KeptFile);
}

/** The score another app has sent, once. */
export async function takeShared(): Promise<File | undefined> {
  const f = await kept<KeptFile>("shared");
  await forget("shared");
  return f && new File([f.bytes], f.name);
}
