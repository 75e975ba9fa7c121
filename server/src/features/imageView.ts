import {
  done,
  hex,
  phrase,
  type Result,
  type RunSteps,
  refuse,
  type Steps,
} from '../../../shared-core/src/base/index.js';
import { checkInSteps, shownProblems, summaryOf, verdictOf } from '../../../shared-core/src/checks/index.js';
import { checksumOf, crcModel, stateInSteps } from '../../../shared-core/src/checksum/index.js';
import { formOf } from '../../../shared-core/src/format/index.js';
import { headerValue } from '../../../shared-core/src/model/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  CLOSE_IMAGE,
  IMAGE_PAGE,
  type ImagePage,
  type ImagePageParams,
  type ImageRegion,
  type ImageViewParams,
  OPEN_IMAGE,
  type OpenImageParams,
  type OpenImageResult,
} from '../../../shared-core/src/protocol/imageView.js';
import { readAddressRange } from '../../../shared-core/src/repair/index.js';
import { type ImageBytesView, readImageBytes } from '../../../shared-core/src/scan/index.js';
import { createWorkspace, type OpenedDump, type Workspace } from '../../../shared-core/src/workspace/index.js';
import { filesUnder } from '../bases.js';
import type { Feature } from '../feature.js';
import { type CancellationToken, CancellationTokenSource } from '../lsp.js';
import type { Session } from '../session.js';
import { endIfCancelled, inSlices } from '../slices.js';
import { toRefusal } from '../toChange.js';

/** More rows than these of a table help nobody. */
const MOST_SHOWN = 200;

/** A memory image of any size, as it is saved, in views that the client opens and closes. */
export const imageView: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    const views = createViews();
    connection.onRequest<OpenImageResult | Refusal, void>(OPEN_IMAGE, async (params: OpenImageParams, token) => {
      const image = await views.open(params.view, token, (ended) => readImage(session, params, ended));
      return image.ok ? image.value.result : toRefusal(session, image);
    });
    connection.onRequest<ImagePage | null, void>(IMAGE_PAGE, ({ view, linesOnPage, at }: ImagePageParams) => {
      const bytes = views.bytesOf(view);
      return bytes === undefined ? null : pageAt(session, bytes, linesOnPage, at);
    });
    connection.onNotification(CLOSE_IMAGE, ({ view }: ImageViewParams) => views.close(view));
    connection.onShutdown(views.closeAll);
  },
};

function pageAt({ say }: Session, bytes: ImageBytesView, linesOnPage: number, at: ImagePageParams['at']): ImagePage {
  if ('page' in at) return pageOf(bytes, linesOnPage, at.page);
  const range = readAddressRange(at.address);
  if (range === undefined) {
    const refused = say(phrase('An address is written in hex, such as 1F0.'));
    return { ...pageOf(bytes, linesOnPage, 0), refused };
  }
  const last = bytes.regions.at(-1)?.to ?? 0;
  if (range.from > last) {
    const refused = say(
      phrase('Nothing is at {0} or behind it: the last address is {1}.', hex(range.from, 4), hex(last, 4)),
    );
    return { ...pageOf(bytes, linesOnPage, Number.MAX_SAFE_INTEGER), refused };
  }
  const line = bytes.lineOf(range.from);
  return { ...pageOf(bytes, linesOnPage, Math.floor(line / linesOnPage)), line: line % linesOnPage };
}

function pageOf(bytes: ImageBytesView, linesOnPage: number, wanted: number): ImagePage {
  const pages = Math.max(1, Math.ceil(bytes.lines / linesOnPage));
  const page = Math.min(pages - 1, Math.max(0, Math.trunc(wanted)));
  return { page, pages, text: bytes.text(page * linesOnPage, linesOnPage) };
}

/** A view is there while the client has it open: while its file is read, and as long as its bytes are looked at. */
interface OpenView {
  readonly ended: CancellationTokenSource;
  readonly bytes: ImageBytesView | undefined;
}

interface ReadImage {
  readonly bytes: ImageBytesView;
  readonly result: OpenImageResult;
}

function createViews() {
  const views = new Map<number, OpenView>();
  const close = (view: number): void => {
    views.get(view)?.ended.cancel();
    views.delete(view);
  };
  return {
    close,
    closeAll: (): void => [...views.keys()].forEach(close),
    bytesOf: (view: number): ImageBytesView | undefined => views.get(view)?.bytes,
    /** Reads for a view. What was read for it before is dropped first, and a reading that still goes on ends. */
    open: async (
      view: number,
      token: CancellationToken,
      read: (ended: CancellationToken) => Promise<Result<ReadImage>>,
    ): Promise<Result<ReadImage>> => {
      // What was taken back before it came has no event for that.
      endIfCancelled(token);
      close(view);
      const ended = new CancellationTokenSource();
      token.onCancellationRequested(() => ended.cancel());
      views.set(view, { ended, bytes: undefined });
      let bytes: ImageBytesView | undefined;
      try {
        const image = await read(ended.token);
        endIfCancelled(ended.token);
        bytes = image.ok ? image.value.bytes : undefined;
        return image;
      } finally {
        // Closed meanwhile, or opened once more, it is another's.
        const isOwn = views.get(view)?.ended === ended;
        if (isOwn && bytes !== undefined) views.set(view, { ended, bytes });
        else if (isOwn) views.delete(view);
      }
    },
  };
}

const NO_IMAGE = phrase(
  'This file is no memory image. Open its bytes with the command Open as Dump Text, or check it with the command line: countersum check.',
);

/** Reads and checks a file as the command line does, with pauses in which others are served. */
function readImage(
  { saved, say }: Session,
  { uri, linesOnPage }: OpenImageParams,
  token: CancellationToken,
): Promise<Result<ReadImage>> {
  const run: RunSteps = (steps) => inSlices(steps, token);
  const workspace = createWorkspace(saved(token));
  return workspace.open(uri, { rows: 'needed', run }, async ({ size, image, load }) => {
    const file = image();
    if (file === undefined) return refuse(NO_IMAGE);
    const checked = await check(load, workspace, say, run);
    if (!checked.ok) return checked;
    const bytes = await run(readImageBytes(file));
    if (bytes === undefined) return refuse(NO_IMAGE);
    const title = formOf(file.notation.id)?.title;
    return done({
      bytes,
      result: {
        ...checked.value,
        form: title === undefined ? file.notation.id : say(title),
        size,
        held: bytes.regions.reduce((sum, { from, to }) => sum + to - from + 1, 0),
        regionCount: bytes.regions.length,
        regions: await run(regionsIn(bytes)),
        first: pageOf(bytes, linesOnPage, 0),
      },
    });
  });
}

/** What is said of a dump that is loaded. Nothing else of it is kept: with many rows that are wrong it is large. */
async function check(
  load: OpenedDump['load'],
  files: Workspace,
  say: Session['say'],
  run: RunSteps,
): Promise<Result<Pick<OpenImageResult, 'profile' | 'problems' | 'summary' | 'checkedWith'>>> {
  const loaded = await load();
  if (!loaded.ok) return loaded;
  const { dump, name, profile, profileFile, backupFile } = loaded.value;
  const problems = await run(checkInSteps(loaded.value));
  return done({
    profile: profile.kind === 'none' ? null : (headerValue(dump, 'profile') ?? null),
    problems: shownProblems(problems, MOST_SHOWN).map(({ row, start, message }) => ({
      row,
      character: start,
      message: say(message),
    })),
    summary: summaryOf([{ name, verdict: verdictOf(loaded.value, problems) }]).map(say),
    checkedWith: [
      ...[profileFile, backupFile].filter((one) => one !== undefined),
      ...(profileFile === undefined ? [] : await filesUnder({ files }, profileFile)),
    ],
  });
}

function* regionsIn(view: ImageBytesView): Steps<readonly ImageRegion[]> {
  const crc = crcModel('CRC-32/ISO-HDLC');
  const crc32 = crc && checksumOf({ method: 'crc', model: undefined, ...crc });
  const regions: ImageRegion[] = [];
  for (const region of view.regions.slice(0, MOST_SHOWN)) {
    const bytes = view.bytesOf(region);
    const sum = bytes && crc32?.valueOf(yield* stateInSteps(crc32, bytes));
    regions.push({ ...region, crc32: sum === undefined ? null : hex(sum, 8) });
    yield;
  }
  return regions;
}
