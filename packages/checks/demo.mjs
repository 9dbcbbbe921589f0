// What `npm start` shows: the pair check on the invented workboat, once on a mismatch and once on a good pair.
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));
const assay = "packages/cli/bin/assay.mjs";
const folder = "test-vectors/workboat";
const profile = `${folder}/profile.json`;

const runs = [
  {
    title: "A harbour workboat whose starboard controller came out of a sister boat.",
    right: `${folder}/starboard-other-build.bin.gz`,
    answer: 1,
  },
  {
    title: "The same boat with both of its own controllers.",
    right: `${folder}/starboard.bin.gz`,
    answer: 0,
  },
];

const words = { 0: "clear", 1: "stop", 2: "could not be carried out", 3: "review" };
let wrong = 0;
for (const { title, right, answer } of runs) {
  const left = `${folder}/port.hex.gz`;
  console.log(`${title}\n\n$ node ${assay} pair ${left} \\\n    ${right} \\\n    --profile ${profile}\n`);
  const { status, error } = spawnSync(process.execPath, [assay, "pair", left, right, "--profile", profile], {
    cwd: root,
    stdio: ["ignore", "inherit", "inherit"],
  });
  if (error) console.error(error.message);
  console.log(`\nexit code ${status}: ${words[status] ?? "it broke off"}\n`);
  if (status !== answer) {
    wrong++;
    console.error(`demo: expected exit code ${answer} (${words[answer]}), got ${status}\n`);
  }
}

console.log(`Your own pair:  node ${assay} pair LEFT RIGHT --profile FILE`);
console.log(`A single read:  node ${assay} check READ --profile FILE`);
process.exitCode = wrong === 0 ? 0 : 1;
