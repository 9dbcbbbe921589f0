import { main } from "./main.js";
import { nodeWorld } from "./node-world.js";

// Whatever goes wrong from here on, a script must not read it as "go on".
process.exitCode = 2;
main(process.argv.slice(2), nodeWorld()).then((code) => {
  process.exitCode = code;
});
