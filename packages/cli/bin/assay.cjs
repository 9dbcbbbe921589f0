#!/usr/bin/env node
require("./load.cjs").loadProgram().starts.assay();
