// Takes the engraver apart: writes its WebAssembly as shipped, and the table
// that says what its shortened names mean. Run by vendor.sh.
//   node vendor.mjs MODULE.mjs OUT.wasm OUT.json
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [modulePath, wasmOut, namesOut] = process.argv.slice(2);

// The module carries its WebAssembly inside a string. Let it decode that itself.
const instantiate = WebAssembly.instantiate;
WebAssembly.instantiate = (bytes, imports) => {
  fs.writeFileSync(wasmOut, new Uint8Array(bytes));
  return instantiate(bytes, imports);
};
await (await import(pathToFileURL(path.resolve(modulePath)).href)).default();

const glue = fs.readFileSync(modulePath, "utf8");
const between = (from, to) => {
  const start = glue.indexOf(from);
  if (start < 0) throw new Error(`the module has no ${from}`);
  return glue.slice(start + from.length, glue.indexOf(to, start));
};
const sorted = (pairs) => Object.fromEntries(pairs.sort(([a], [b]) => (a < b ? -1 : 1)));
const bare = (name) => name.replace(/^_+/, "");

// "… _vrvToolkit_loadData=Module["…"]=wasmExports["Y"]; …"
const exported = [...between("function assignWasmExports(wasmExports){", "}").matchAll(/(\w+)=[^;]*?wasmExports\["([\w$]+)"\]/g)]
  .map(([, name, short]) => [bare(name), short]);
const [, start] = /TTY\.init\(\);wasmExports\["(\w+)"\]\(\)/.exec(glue);
exported.push(["wasm_call_ctors", start]);
// "c:___assert_fail,d:___syscall_fcntl64,…"
const imported = between("var wasmImports={", "}").split(",").map((pair) => {
  const [short, name] = pair.split(":");
  return [short, bare(name)];
});
const names = { exports: sorted(exported), imports: sorted(imported) };
fs.writeFileSync(namesOut, JSON.stringify(names, null, 1) + "\n");
