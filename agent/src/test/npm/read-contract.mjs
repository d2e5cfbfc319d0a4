// The published contract as readers of others read it: the topic tree by @asyncapi/parser, the schemas and
// what was recorded by ajv. Prints what is wrong, one line each, and ends with 1; or one line of counts.
import {readFileSync, readdirSync} from 'node:fs';
import {join, resolve} from 'node:path';
import {Parser, fromFile} from '@asyncapi/parser';
import Ajv2020 from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';

const root = resolve(process.argv[2]);
const docs = join(root, 'docs');
const schemas = join(docs, 'schemas');
const payloads = join(root, 'agent/src/test/resources/payloads');
const problems = [];

const parser = new Parser();
const tree = await fromFile(parser, join(docs, 'asyncapi.yaml')).parse();
for (const one of tree.diagnostics.filter(one => one.severity === 0)) {
  problems.push(`asyncapi.yaml:${one.range.start.line + 1} ${one.path.join('.')}: ${one.message}`);
}
const messages = tree.document?.allMessages().all().length ?? 0;
if (messages === 0) {
  problems.push('asyncapi.yaml: expected messages, found none');
}

const ajv = new Ajv2020({allErrors: true, strict: true, strictTypes: false, strictRequired: false, strictTuples: false});
addFormats(ajv);
const compiled = new Map();
function take(folder, name) {
  try {
    const schema = JSON.parse(readFileSync(join(folder, name), 'utf8'));
    return {id: schema.$id, validate: ajv.compile(schema)};
  } catch (fault) {
    problems.push(`${name}: ${fault.message}`);
    return {};
  }
}
for (const name of readdirSync(schemas).sort()) {
  compiled.set(name.replace('.schema.json', ''), take(schemas, name));
}
const files = compiled.size + 2;
take(docs, 'agent.schema.json');
take(docs, 'rules.schema.json');

// By a schema's name, or by its name, "#/$defs/" and that of a part.
function validator(name) {
  const [whole, part] = name.split('#');
  const {id, validate} = compiled.get(whole) ?? {};
  if (part === undefined || id === undefined) {
    return validate;
  }
  if (!compiled.has(name)) {
    compiled.set(name, {validate: ajv.compile({$ref: `${id}#${part}`})});
  }
  return compiled.get(name).validate;
}

let samples = 0;
for (const name of readdirSync(payloads).sort()) {
  readFileSync(join(payloads, name), 'utf8').split('\n').filter(Boolean).forEach((line, at) => {
    const {schema, payload} = JSON.parse(line);
    const where = `${name}:${at + 1} ${schema}`;
    const validate = validator(schema);
    samples++;
    if (!validate) {
      problems.push(`${where}: no such schema`);
    } else if (!validate(payload)) {
      problems.push(`${where}: ${ajv.errorsText(validate.errors)}`);
    } else if (validate({...payload, surplus: 1})) {
      problems.push(`${where}: a member that no schema names was taken`);
    }
  });
}
if (samples === 0) {
  problems.push('payloads: expected recorded samples, found none');
}

problems.forEach(line => console.error(line));
if (problems.length === 0) {
  console.log(`${messages} messages of the tree, ${files} schemas, ${samples} samples: as others read them`);
}
process.exitCode = problems.length === 0 ? 0 : 1;
