import { phrase } from '../../../shared-core/src/base/index.js';
import { shareDumps, sharedPage, vinsIn } from '../../../shared-core/src/jobs/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { SHARE, type ShareParams, type ShareResult } from '../../../shared-core/src/protocol/share.js';
import { profilesToShare } from '../../../shared-core/src/workspace/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';

/** Copies of a dump and its backup without what is personal, for the client to write into a folder. */
export const share: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ShareResult | Refusal, void>(SHARE, ({ uri, hide = [] }: ShareParams) =>
      answerOrRefuse<ShareResult>(session, uri, async (analysis) => {
        const { backup, backupFile } = analysis;
        const loaded =
          backup.kind === 'read' && backupFile !== undefined ? await session.files.load(backupFile) : undefined;
        const sources = [analysis, ...(loaded?.ok === true ? [loaded.value] : [])];
        const profiles = await profilesToShare(sources, session.files.readText);
        if (!profiles.ok) return { refused: session.say(profiles.why) };
        const shared = shareDumps(sources, profiles.value, hide);
        if (!shared.ok) return { refused: session.say(shared.why) };
        const { dumps, profiles: copied } = shared.value;
        return {
          dumps: dumps.map(({ name, text, headers }) => ({ name, text, headers })),
          doubts: [
            ...(shared.value.knowsVin ? [] : [session.say(phrase('No VIN is known.'))]),
            ...[...dumps, ...copied].flatMap(({ name, left }) => left.map((what) => `${name}: ${session.say(what)}`)),
          ],
          vins: vinsIn([...dumps, ...copied].flatMap(({ left }) => left)),
          profiles: copied.map(({ name, text, headers }) => ({ name, text, headers })),
          page: sharedPage(shared.value, session.say),
        };
      }),
    );
  },
};
