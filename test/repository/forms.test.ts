import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { DUMP_ENDINGS, FORMS, isDumpName } from '../../shared-core/src/format/index.js';
import { sourcesBelow } from '../support/sources.js';

describe('the written forms', () => {
  const ids = FORMS.map(({ id }) => id);

  it('are asked for what they are, and never for their names, outside of their own files', () => {
    const others = [...sourcesBelow('shared-core/src'), ...sourcesBelow('server/src'), ...sourcesBelow('client/src')]
      .filter(({ path }) => !path.startsWith('shared-core/src/format/'))
      .flatMap(({ path, text }) => ids.filter((id) => text.includes(`'${id}'`)).map((id) => `${path}: '${id}'`));
    assert.deepEqual(others, []);
  });

  it('have names, languages and endings of their own', () => {
    for (const all of [ids, FORMS.map(({ language }) => language), DUMP_ENDINGS])
      assert.equal(new Set(all).size, all.length);
    for (const { endings } of FORMS) for (const ending of endings) assert.ok(isDumpName(`a.${ending}`));
  });

  it('are each offered by the schema of profiles', () => {
    const schema = readFileSync('syntaxes/dump-profile.schema.json', 'utf8');
    for (const id of ids) {
      assert.ok(schema.includes(`"${id}"`), `run "npm run schema" and commit, for ${id}`);
    }
  });
});
