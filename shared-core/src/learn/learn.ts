import { SURE } from '../base/odds.js';
import { phrase } from '../base/phrase.js';
import { finish, type Steps } from '../base/steps.js';
import { isImage, withoutHeadersBeside } from '../format/notationOf.js';
import { canHaveRowsAsLines } from '../model/rowsAsLines.js';
import { type LearnedForm, learnForms, withHeadings } from './learnForm/form.js';
import { learnImage } from './learnImage.js';
import type { Learning, TextToLearn } from './learning.js';
import { learnLines } from './learnLines.js';
import type { LineRule } from './learnSums/lineRule.js';
import type { Effort } from './learnSums/lineSums.js';
import { runsSaid } from './remarks.js';

/**
 * Works out from one or several dumps of the same kind how they are written, how many bytes of a line are data and sum,
 * and by which rules lines and file are summed. Never fails: what stands in the way of an answer is said in the remarks.
 */
export function learn(texts: readonly TextToLearn[]): Learning {
  return finish(learnSteps(texts));
}

/** `about` names the text that the answer must be of, where they are of different shapes; by default most texts of one shape are taken. */
export function* learnSteps(texts: readonly TextToLearn[], about?: string): Steps<Learning> {
  const forms: FormsOfText[] = [];
  for (const { name, text: whole } of texts) {
    yield;
    const text = withoutHeadersBeside('', whole);
    forms.push({ name, text, forms: learnForms(beginningOf(text)) });
  }
  const first = forms.find(({ forms: some }) => some.length > 0)?.forms ?? [];
  if (first.length === 0) {
    return {
      candidates: [],
      remarks: [
        phrase('No lines of a dump were found: lines with a number that counts up and pairs of hex digits are wanted.'),
        ...forms.flatMap(runsSaid),
      ],
    };
  }
  // A text may be read in several ways; the right one is that in which the sums come out.
  const ways = first.length === 1 ? [] : first;
  const found: WayLearned[] = [];
  for (const form of ways) {
    const learned = yield* learnIn(form, forms, about, 'common');
    if (isSettled(learned)) return learned.learning;
    found.push(learned);
  }
  const [best] = found.sort((a, b) => a.chance - b.chance);
  const form = best === undefined || best.chance > SURE ? first[0] : best.form;
  return form === undefined ? NOTHING : (yield* learnIn(form, forms, about, 'all')).learning;
}

const NOTHING: Learning = { candidates: [], remarks: [] };

/** Rules for the lines of texts with more characters than these together are not looked for, as nobody would wait for it. */
const MOST_CHARACTERS = 2e6;

/** The lines that show how a text is written: all, or of a long one as many as are looked at. */
function beginningOf(text: string): string {
  return text.length <= MOST_CHARACTERS ? text : text.slice(0, text.lastIndexOf('\n', MOST_CHARACTERS / 2) + 1);
}

const TOO_LONG: Learning = {
  candidates: [],
  remarks: [
    phrase(
      'These texts are too long to work out how their lines are summed: more than {0} characters. Give a part of them, such as the first thousand lines.',
      MOST_CHARACTERS,
    ),
  ],
};

/** What was learned of texts read in one way. */
interface WayLearned {
  readonly form: LearnedForm;
  readonly learning: Learning;
  /** The probability that a wrong rule for lines fits as well by accident; 1 where there is none. */
  readonly chance: number;
  /** Which part of the lines follows it. */
  readonly share: number;
}

interface FormsOfText extends TextToLearn {
  readonly forms: readonly LearnedForm[];
}

/** What is learned of the texts that may be written in a form. */
function* learnIn(
  form: LearnedForm,
  texts: readonly FormsOfText[],
  about: string | undefined,
  effort: Effort,
): Steps<WayLearned> {
  const alike = texts.filter(({ forms }) => forms.some((other) => sameForm(form, other)));
  const strange = texts.filter((one) => !alike.includes(one)).map(({ name }) => name);
  const remarks =
    strange.length === 0 ? [] : [phrase('Written in another way, and left out: {0}.', strange.join(', '))];
  // Each dump may have headings of its own.
  const headings = alike.flatMap(({ forms }) => forms.filter((other) => sameForm(form, other))).flatMap(headingsIn);
  const { learning, rule } = yield* learnIts(withHeadings(form, headings), alike, about, effort);
  return wayOf(form, {
    learning: { ...learning, remarks: [...remarks, ...learning.remarks] },
    rule,
  });
}

function wayOf(
  form: LearnedForm,
  { learning, rule }: { readonly learning: Learning; readonly rule: LineRule | undefined },
): WayLearned {
  return {
    form,
    learning,
    chance: rule?.chance ?? 1,
    share: rule === undefined ? 0 : 1 - rule.wrong.length / rule.lines,
  };
}

/** The rows of an image that says nothing of their sums may have some of their own, as those of raw bytes may. */
function* learnIts(
  form: LearnedForm,
  texts: readonly TextToLearn[],
  about: string | undefined,
  effort: Effort,
): ReturnType<typeof learnLines> {
  const isShort = texts.reduce((sum, { text }) => sum + text.length, 0) <= MOST_CHARACTERS;
  if (!isImage(form.notation))
    return isShort ? yield* learnLines(form, texts, about, effort) : { learning: TOO_LONG, rule: undefined };
  if (isShort && canHaveRowsAsLines(form.notation)) {
    const found = yield* learnLines(form, texts, about, effort);
    if (found.rule !== undefined && isSettled(wayOf(form, found))) return found;
  }
  return { learning: yield* learnImage(form, texts), rule: undefined };
}

/** Whether nearly all lines follow a rule that is sure. */
function isSettled({ chance, share }: WayLearned): boolean {
  return chance <= SURE && share >= 0.8;
}

function headingsIn({ headings }: LearnedForm): readonly string[] {
  return headings;
}

function sameForm(a: LearnedForm, b: LearnedForm): boolean {
  return a.notation.id === b.notation.id && a.pattern === b.pattern;
}
