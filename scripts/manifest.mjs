// npm run manifest: the parts of package.json and package.nls.json that follow from the commands and pages of
// the client, and from the written forms. With --check it writes nothing, and fails where they differ from what is committed.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { declared } from './declared.mjs';
import { ROOT } from './prepare.mjs';

/** What stands in package.json. */
function manifestWith(manifest, named, pages, forms) {
  const entriesOf = (menu) =>
    named.flatMap(({ id, menus = [] }) =>
      menus
        .filter((entry) => entry.menu === menu)
        .map(({ group, when }) => ({ command: `countersum.${id}`, when, group })),
    );
  const menus = [...new Set(named.flatMap((command) => (command.menus ?? []).map(({ menu }) => menu)))].sort();
  const hidden = named
    .filter(({ onlyInMenus }) => onlyInMenus)
    .map(({ id }) => ({ command: `countersum.${id}`, when: 'false' }));
  const others = manifest.activationEvents.filter((event) => !event.startsWith('onWebviewPanel:'));
  return {
    ...manifest,
    activationEvents: [
      ...others,
      ...pages.filter(({ returns }) => returns).map(({ id }) => `onWebviewPanel:countersum.${id}`),
    ],
    contributes: {
      ...manifest.contributes,
      languages: languagesWith(manifest.contributes.languages, forms),
      grammars: grammarsWith(manifest.contributes.grammars, forms),
      configurationDefaults: defaultsWith(manifest.contributes.configurationDefaults, forms),
      commands: named.map(({ id, icon, when }) => ({
        command: `countersum.${id}`,
        title: `%command.${id}%`,
        category: 'Countersum',
        ...(icon && { icon: `$(${icon})` }),
        ...(when && { enablement: when }),
      })),
      customEditors: pages
        .filter(({ files }) => files)
        .map(({ id, files }) => ({
          viewType: `countersum.${id}`,
          displayName: `%editor.${id}%`,
          selector: [{ filenamePattern: files }],
          priority: 'option',
        })),
      menus: { ...Object.fromEntries(menus.map((menu) => [menu, entriesOf(menu)])), commandPalette: hidden },
      keybindings: named.flatMap(({ id, key }) => (key ? [{ command: `countersum.${id}`, ...key }] : [])),
    },
  };
}

/** Each form is a language of the editor; one that has words of its own for people keeps them. */
function languagesWith(languages, forms) {
  return forms.map(({ language, title, endings, headers, commentSign }) => {
    const { aliases = [title.pattern] } = headers === 'own' ? languages.find(({ id }) => id === language) : {};
    const own = `./syntaxes/${language}.language-configuration.json`;
    const kind = headers === 'none' ? 'view' : { ';': 'image', '//': 'code', '#': 'cfgdump' }[commentSign];
    const configuration = existsSync(join(ROOT, own)) ? own : `./syntaxes/${kind}.language-configuration.json`;
    return { id: language, aliases, extensions: endings.map((ending) => `.${ending}`), configuration };
  });
}

/** A form has a grammar where there is a file of that name. */
function grammarsWith(grammars, forms) {
  return forms.flatMap(({ language }) => {
    const path = `./syntaxes/${language}.tmLanguage.json`;
    const kept = grammars.find((grammar) => grammar.language === language);
    return existsSync(join(ROOT, path)) ? [{ ...kept, language, scopeName: `source.${language}`, path }] : [];
  });
}

/** All images are edited with the same settings. */
function defaultsWith(defaults, forms) {
  const isOfLanguage = (key) => key.startsWith('[');
  const others = Object.entries(defaults).filter(([key]) => !isOfLanguage(key));
  const own = forms.map(({ language, image }) => [`[${language}]`, image ? IMAGE_DEFAULTS : defaults[`[${language}]`]]);
  return Object.fromEntries([...own, ...others]);
}

const IMAGE_DEFAULTS = {
  'editor.semanticHighlighting.enabled': true,
  'editor.wordWrap': 'off',
  'editor.minimap.enabled': false,
  'editor.quickSuggestions': { other: 'off', comments: 'off', strings: 'off' },
  'editor.wordBasedSuggestions': 'off',
  'editor.guides.indentation': false,
  // A digit that is chosen is not found by a shade over all that are like it.
  'editor.selectionHighlight': false,
  'editor.inlayHints.maximumLength': 120,
};

/** The texts of package.json in English; those of commands are written where the commands are. */
function textsWith(texts, named) {
  const others = Object.entries(texts).filter(([key]) => !key.startsWith('command.'));
  return Object.fromEntries([...others, ...named.map(({ id, title }) => [`command.${id}`, title])]);
}

const { COMMANDS, PAGES, FORMS } = await declared();
const named = COMMANDS.filter(({ id }) => !id.startsWith('_'));
const json = (value) => `${JSON.stringify(value, null, 2)}\n`;
const differing = [
  ['package.json', (text) => json(manifestWith(JSON.parse(text), named, PAGES, FORMS))],
  ['package.nls.json', (text) => json(textsWith(JSON.parse(text), named))],
].filter(([name, made]) => {
  const file = join(ROOT, name);
  const before = readFileSync(file, 'utf8');
  const after = made(before);
  if (!process.argv.includes('--check')) writeFileSync(file, after);
  return before !== after;
});
if (process.argv.includes('--check') && differing.length > 0) {
  const names = differing.map(([name]) => name).join(', ');
  console.error(
    `${names}: not as client/src declares its commands and pages, and shared-core its forms. Run "npm run manifest" and commit.`,
  );
  process.exitCode = 1;
}
