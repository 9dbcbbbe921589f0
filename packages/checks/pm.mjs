// Runs the pnpm release that package.json names, whatever is (or is not) on the PATH:
//   node packages/checks/pm.mjs install --frozen-lockfile
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";

const root = new URL("../../", import.meta.url);
const { packageManager } = JSON.parse(readFileSync(new URL("package.json", root), "utf8"));
const [release] = packageManager.split("+"); // the part after '+' is the hash that corepack checks
const env = { ...process.env };
delete env.npm_config_loglevel; // 'npm run -s' would silence pnpm's errors too

const ran = spawnSync(
  "npx",
  ["--yes", "--prefer-offline", "--update-notifier=false", "--", release, ...process.argv.slice(2)],
  { cwd: root, env, stdio: "inherit", shell: process.platform === "win32" },
);
if (ran.error) throw ran.error;
process.exitCode = ran.status ?? 1;
