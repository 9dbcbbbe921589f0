// What `npm start` shows on the invented workboat: the pair check in full, then the donor's questions by their verdicts.
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));
const assay = "packages/cli/bin/assay.cjs";
const folder = "test-vectors/workboat";
const port = `${folder}/port.hex.gz`;
const starboard = `${folder}/starboard.bin.gz`;
const profile = ["--profile", `${folder}/profile.json`];
const brief = [...profile, "--quiet"];
const job = (name) => ["--job", `${folder}/${name}.json`];
const beside = [...brief, "--twin", port];

const runs = [
  {
    title: "A harbour workboat whose starboard controller came out of a sister boat.",
    arguments: ["pair", port, `${folder}/starboard-other-build.bin.gz`, ...profile],
    answer: 1,
  },
  {
    title: "The same boat with both of its own controllers.",
    arguments: ["pair", port, starboard, ...profile],
    answer: 0,
  },
  {
    title: "Starboard failed. May a donor of another build, from another boat, be written with its software?",
    arguments: ["donor", starboard, `${folder}/donor-same.s19.gz`, ...job("job-donor"), ...beside],
    answer: 0,
  },
  {
    title: "A donor with a later boot block, which starts this software too.",
    arguments: ["donor", starboard, `${folder}/donor-later-boot.bin.gz`, ...job("job-donor-later"), ...beside],
    answer: 0,
  },
  {
    title: "A donor with other hardware.",
    arguments: ["donor", starboard, `${folder}/donor-other-hardware.bin.gz`, ...beside],
    answer: 1,
  },
];

const words = { 0: "clear", 1: "stop", 2: "could not be carried out", 3: "review" };
let wrong = 0;
for (const { title, arguments: given, answer } of runs) {
  console.log(`${title}\n\n$ node ${assay} ${given.join(" ")}\n`);
  const { status, error } = spawnSync(process.execPath, [assay, ...given], {
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

console.log(`Your own pair:   node ${assay} pair LEFT RIGHT --profile FILE`);
console.log(
  `Before a write:  node ${assay} donor SOURCE DONOR --profile FILE   (without --quiet: the plan and its reasons)`,
);
process.exitCode = wrong === 0 ? 0 : 1;
