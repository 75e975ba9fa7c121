// What the client knows of the written forms, from the table of the core: all but what reads and writes them.
import { build } from 'esbuild';
import { ROOT } from './prepare.mjs';

/** The table as JSON, which builds put in the place of `NAMED_FORMS`. */
export async function namedForms() {
  const { outputFiles } = await build({
    absWorkingDir: ROOT,
    entryPoints: ['shared-core/src/format/forms.ts'],
    bundle: true,
    write: false,
    format: 'cjs',
    platform: 'node',
  });
  const module = { exports: {} };
  new Function('module', 'exports', outputFiles[0].text)(module, module.exports);
  const named = ({ id, title, language, endings, image }) => ({
    id,
    title,
    language,
    endings,
    image: image !== undefined,
  });
  return JSON.stringify(module.exports.FORMS.map(named));
}
