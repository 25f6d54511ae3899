// Bundles entry.js into ../vega-runtime.js, with the licences of everything inside it and a
// record of what that is. In: node_modules, as package-lock.json fixes it. Out: three files.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';

const BUNDLE = 'vega-runtime.js';
const LICENCES = 'LICENCES.txt';

const { metafile } = await build({
  entryPoints: ['entry.js'],
  outfile: `../${BUNDLE}`,
  bundle: true,
  minify: true,
  format: 'iife',
  globalName: 'vegaRuntime',
  target: 'es2020',
  legalComments: 'none',
  metafile: true,
});

const paths = Object.keys(metafile.inputs).filter((path) => path.startsWith('node_modules/'));
const doubled = paths.find((path) => path.lastIndexOf('node_modules/') > 0);
if (doubled) throw new Error(`a second version of one package: ${doubled}`);

const folders = new Set(paths.map((path) => /^node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)[0]));
const parts = [...folders].sort().map((folder) => {
  const { name, version, license } = JSON.parse(readFileSync(`${folder}/package.json`, 'utf8'));
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
  if (!file) throw new Error(`${name} has no licence text`);
  return { name, version, license, text: readFileSync(`${folder}/${file}`, 'utf8').trim() };
});

const rule = '-'.repeat(80);
const texts = parts.map(({ name, version, license, text }) =>
  [rule, `${name} ${version} (${license})`, rule, '', text, ''].join('\n'),
);
writeFileSync(`../${LICENCES}`, texts.join('\n'));

const record = {
  files: [BUNDLE, LICENCES].map((name) => ({
    name,
    sha256: createHash('sha256').update(readFileSync(`../${name}`)).digest('hex'),
  })),
  packages: parts.map(({ name, version, license }) => ({ name, version, licence: license })),
};
writeFileSync('../RECORD.json', `${JSON.stringify(record, null, 2)}\n`);
