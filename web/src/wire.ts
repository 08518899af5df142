// What goes between the page and the worker of the program.

/** The two modules and the engraver's script, for a new worker. */
export interface Start {
  do: "start";
  program: WebAssembly.Module;
  engraver: WebAssembly.Module;
  script: string; // address of the engraver's worker
}

export interface Ask {
  do: "ask";
  id: number;
  method: string;
  path: string;
  type: string; // of the body
  body: Uint8Array;
}

export interface Stop {
  do: "stop";
  id: number;
}

export type ToWorker = Start | Ask | Stop;

export type FromWorker =
  | { is: "ready" }
  | { is: "head"; id: number; status: number; headers: Record<string, string> }
  | { is: "piece"; id: number; bytes: Uint8Array<ArrayBuffer> }
  | { is: "end"; id: number }
  | { is: "dead"; memory: boolean; said: string };
