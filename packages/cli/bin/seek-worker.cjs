require("./load.cjs").loadProgram().starts["seek-worker"]();
