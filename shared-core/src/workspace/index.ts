// What client, server and command line use of this room: from files to dumps.
export { asRead } from './asRead.js';
export {
  BINARY,
  type BinaryView,
  binaryOfContents,
  binaryOfText,
  IN_BINARY,
  textOfBinary,
  textReadBack,
} from './binary.js';
export {
  type CodedFiles,
  type Coding,
  codedFiles,
  type Encoded,
  headersBeside,
  headersUnread,
  holdsRawBytes,
  isFileBeside,
  PLAIN_VIEW,
  textOfFile,
  writtenAs,
} from './codedFiles.js';
export {
  dumpOfText,
  filesNamedBy,
  NAMING_HEADERS,
  profilesNamed,
  type SaidWord,
  type UnboundDump,
} from './dumpFile.js';
export type { ExplainedDump } from './explain.js';
export { FILE_ENDINGS } from './fileEndings.js';
export { cardName, kindOf, OUR_FILES } from './fileKind.js';
export {
  type FileType,
  HEADERS_BESIDE,
  type Host,
  LARGEST_FILE,
  LARGEST_TEXT,
  type OpenFile,
} from './host.js';
export { type JsonProblem, profileProblems, retrofitProblems, unreadConditions } from './jsonProblems.js';
export { bothLists, type FileKind, type FileList, listFiles, type Walk } from './listFiles.js';
export { type ListedProfile, listProfiles, profileInLine } from './listProfiles.js';
export { type FileToCompare, loadTogether, type ToCompare } from './loadTogether.js';
export { byModule } from './moduleProfile.js';
export { otherKindOf } from './otherKind.js';
export { profilesToShare } from './profilesToShare.js';
export { countProofs, type ProvedSample, proveBySamples, provedInWords } from './proveBySamples.js';
export { CHANGED, NOT_REGULAR, reasonOf, tooLarge } from './reasons.js';
export { undecidedAmong } from './undecided.js';
export {
  canonicalUri,
  childUri,
  fileName,
  isOfAnotherTime,
  isUnsaved,
  parentUri,
  pathParts,
  relativePath,
  resolveUri,
} from './uri.js';
export { createUriMap, type UriMap } from './uriMap.js';
export { verifyInFolder } from './verifyInFolder.js';
export { fileOfBytes, fileOfText, type TextCodec } from './wholeFile.js';
export { createWorkspace, type LoadHow, type OpenedDump, type Workspace } from './workspace.js';
