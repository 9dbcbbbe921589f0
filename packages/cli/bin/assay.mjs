#!/usr/bin/env node
import "../dist/assay.mjs";
