// Which packages the build has put into what ships, and what their licences ask to be said of them.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './prepare.mjs';

/** Licences by which a package may be part of one under the MIT licence, as long as its notice goes with it. */
const ALLOWED = ['0BSD', 'Apache-2.0', 'BSD-2-Clause', 'BSD-3-Clause', 'BlueOak-1.0.0', 'ISC', 'MIT'];

const IN_PACKAGE = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//;

/** The packages of which at least one file is in a bundle, by name, from what esbuild tells of its outputs. */
export function bundledPackages(metafiles) {
  const folders = new Set();
  for (const { outputs } of metafiles)
    for (const { inputs } of Object.values(outputs))
      for (const [path, { bytesInOutput }] of Object.entries(inputs)) {
        const [, folder] = path.match(IN_PACKAGE) ?? [];
        if (folder !== undefined && bytesInOutput > 0) folders.add(folder);
      }
  const packages = [...folders].map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(join(ROOT, folder, 'package.json'), 'utf8'));
    if (!ALLOWED.includes(license))
      throw new Error(`${name} is bundled, and its licence is ${license}: is that allowed?`);
    return { name, version, license, text: licenceText(join(ROOT, folder), name) };
  });
  return packages.sort((a, b) => (a.name < b.name ? -1 : 1));
}

function licenceText(folder, name) {
  const file = readdirSync(folder).find((entry) => /^licen[cs]e(\.(md|txt))?$/i.test(entry));
  if (file === undefined) throw new Error(`${name} is bundled and has no licence file; its notice cannot be written.`);
  return readFileSync(join(folder, file), 'utf8').replaceAll('\r\n', '\n').trim();
}

/** The notices that go with every package, one text for packages that say the same. */
export function notices(packages) {
  const byText = new Map();
  for (const one of packages) byText.set(one.text, [...(byText.get(one.text) ?? []), one]);
  const parts = [...byText].map(([text, these]) => {
    const heading = these.map(({ name, version, license }) => `${name} ${version} (${license})`).join('\n');
    return `${heading}\n\n${text}\n`;
  });
  const line = `\n${'-'.repeat(80)}\n\n`;
  return `Countersum contains these packages; each stands under its own licence.\n${line}${parts.join(line)}`;
}

/** Of a bill of materials by npm, what is bundled; where a package was downloaded from is nobody's business. */
export function bundledBill(bill, packages) {
  const refs = new Set(packages.map(({ name, version }) => `${name}@${version}`));
  const plain = ({ properties: _, externalReferences: __, scope: ___, ...component }) => component;
  const components = bill.components.filter((component) => refs.has(component['bom-ref'])).map(plain);
  const missing = [...refs].filter((ref) => components.every((component) => component['bom-ref'] !== ref));
  if (missing.length > 0) throw new Error(`npm does not know ${missing.join(', ')}, which is bundled.`);
  const own = { ...plain(bill.metadata.component), type: 'application', name: 'countersum' };
  delete own.description;
  const dependencies = bill.dependencies
    .filter(({ ref }) => refs.has(ref))
    .map(({ ref, dependsOn = [] }) => ({ ref, dependsOn: dependsOn.filter((on) => refs.has(on)) }));
  return {
    ...bill,
    metadata: { ...bill.metadata, component: own },
    components,
    dependencies: [{ ref: own['bom-ref'], dependsOn: [...refs] }, ...dependencies],
  };
}
