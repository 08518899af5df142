// Builds what the tests drive once, then runs the named tests one after another:
// node browser/run.mjs page stays
import { spawnSync } from "node:child_process";
import { rmSync } from "node:fs";
import { build, buildSite, folder } from "./start.mjs";

const names = process.argv.slice(2);
const env = { ...process.env, HAIRPIN: build() };
if (names.includes("site")) env.SITE = buildSite();
const files = names.map((n) => `browser/${n}.test.mjs`);
const { status } = spawnSync(process.execPath, ["--test", "--test-concurrency=1", "--test-reporter=spec", ...files], { env, stdio: "inherit" });
rmSync(folder, { recursive: true, force: true });
process.exitCode = status ?? 1;
