import { algorithmSuite } from "./algorithms.js";
import { formatSuite } from "./formats.js";
import { imageSuite } from "./images.js";
import { pairSuite } from "./pair.js";
import { seekSuite } from "./seek.js";
import { soundnessSuite } from "./soundness.js";

// Speed as ratios against a named peer or a floor in the same run. The goals are those that the project set itself.

for (const suite of [formatSuite, algorithmSuite, imageSuite, pairSuite, soundnessSuite, seekSuite]) {
  const { title, rows } = await suite();
  console.log(`\n${title}`);
  const width = Math.max(...rows.map(({ what }) => what.length));
  const peers = Math.max(...rows.map(({ peer }) => peer.length));
  for (const { what, peer, ratio, speed, goal } of rows) {
    const goalText = goal === undefined ? "" : `  goal ${goal}`;
    console.log(
      `  ${what.padEnd(width)}  ${ratio.toFixed(2).padStart(8)} x ${peer.padEnd(peers)}  ${speed}${goalText}`,
    );
  }
}
