// Which mutants the compiler refuses: nobody could commit them, whatever the tests say.

import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { API } from 'typescript/unstable/sync';

/** What is only left over (unused, never reached): whoever makes the fault would take it away too. */
const LEFT_OVER = new Set([6133, 6138, 6192, 6196, 6198, 6199, 6205, 7027]);

/** Those of some mutants with which their file has an error of types. */
export function refusedByCompiler(project, mutants) {
  if (mutants.length === 0) return new Set();
  const config = resolve(project, 'tsconfig.json');
  const texts = new Map();
  const api = new API({ cwd: resolve('.'), fs: { readFile: (path) => texts.get(path) } });
  try {
    api.updateSnapshot({ openProject: config });
    const refused = mutants.filter(({ path, change }) => {
      const file = resolve(path);
      const source = readFileSync(file, 'utf8');
      texts.set(file, source.slice(0, change.start) + change.text + source.slice(change.end));
      const found = errorsIn(api, config, file);
      texts.delete(file);
      return found.some(({ code }) => !LEFT_OVER.has(code));
    });
    return new Set(refused);
  } finally {
    api.close();
  }
}

function errorsIn(api, config, file) {
  const snapshot = api.updateSnapshot({ fileChanges: { changed: [file] } });
  try {
    const { program } = snapshot.getProjects().find(({ configFileName }) => resolve(configFileName) === config);
    return [...program.getSyntacticDiagnostics(file), ...program.getSemanticDiagnostics(file)];
  } finally {
    snapshot.dispose();
  }
}
