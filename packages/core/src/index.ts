export * from "./bytes/span.js";
export * from "./findings/catalogue.js";
export * from "./findings/finding.js";
export * from "./findings/refusal.js";
export * from "./image/image.js";
export * from "./report/schema.js";
export * from "./rules/rule.js";
export * from "./verdict/verdict.js";
