// Validates OpenAPI documents for the tests, by a validator that shares nothing with what made them. Reads one
// document from standard input; writes {"valid": true, "version": "3.1", "errors": []}.
import { Validator } from "@seriousme/openapi-schema-validator";

const chunks = [];
for await (const chunk of process.stdin) chunks.push(chunk);
const validator = new Validator();
const told = await validator.validate(JSON.parse(Buffer.concat(chunks).toString("utf8")));
const unresolved = [];
if (told.valid) {
  try {
    validator.resolveRefs();
  } catch (fault) {
    unresolved.push(String(fault));
  }
}
const errors = told.errors === undefined ? unresolved : [].concat(told.errors, unresolved);
process.stdout.write(JSON.stringify({ valid: told.valid && unresolved.length === 0, version: validator.version ?? "", errors }));
