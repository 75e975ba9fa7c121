/**
 * How the byte overview looks. Besides its colour each kind of byte has a sign: the shape and the line of its frame; a changed
 * byte a filled corner, a wrong one the wavy line that the editor has for errors.
 */
export const OVERVIEW_STYLE = `
html, body { height: 100%; box-sizing: border-box; }
body { padding: 0 0 0 1em; --cell: 30px; --gap: 2px; --row: 26px; --mark: var(--vscode-gitDecoration-modifiedResourceForeground, var(--vscode-charts-orange));
  --wrong: var(--vscode-editorError-foreground); --line: var(--vscode-widget-border, var(--vscode-contrastBorder, transparent)); }
body.small { --cell: 9px; --gap: 1px; --row: 12px; }
main { max-width: none; height: max(100%, 26em); display: flex; flex-direction: column; }
header { padding: 0.8em 1em 0.6em 0; }
h1 { margin: 0; font-size: 1.2em; max-width: 100%; overflow-wrap: break-word; hyphens: auto; }
#summary { margin: 0 0 0.4em; color: var(--vscode-descriptionForeground); min-height: 1.5em; }
.line { display: flex; flex-wrap: wrap; gap: 0.3em 1em; align-items: start; justify-content: space-between; }
#key { flex: 1 1 7em; }
#key summary { cursor: pointer; width: fit-content; }
#key ul { list-style: none; display: flex; flex-wrap: wrap; gap: 0.3em 1.1em; margin: 0.4em 0 0; padding: 0; }
#key li:not([hidden]) { display: flex; align-items: center; gap: 0.4em; }
#key .cell { flex: none; width: 2.1em; height: 22px; font-size: calc(var(--vscode-editor-font-size) * 0.9); }
.stage { flex: 1; min-height: 0; display: grid; grid-template: minmax(0, 1fr) / minmax(0, 1fr) 12px 17em; border-top: 1px solid var(--line); }
#scroll { overflow: hidden auto; position: relative; scrollbar-width: none; scroll-padding-top: 24px; }
#scroll::-webkit-scrollbar { display: none; }
#grid { font-family: var(--vscode-editor-font-family); font-size: var(--vscode-editor-font-size); --name: calc(max(var(--longest, 1) * 1ch, var(--heading, 4) * var(--vscode-font-size) * 0.62) + 12px); }
.small #grid { font-size: 9px; }
#head, .row { display: grid; grid-template-columns: var(--name) repeat(var(--columns, 1), calc(var(--cell) + 2 * var(--gap))); align-items: center; justify-items: center; white-space: nowrap; }
.row { grid-auto-rows: var(--row); }
#top { position: sticky; top: 0; z-index: 2; }
#head { height: 24px; background: var(--vscode-editor-background); color: var(--vscode-descriptionForeground); }
#rows { position: relative; }
.row { position: absolute; left: 0; }
.name { width: var(--name); padding-right: 12px; box-sizing: border-box; text-align: right; color: var(--vscode-descriptionForeground); }
.row .name { grid-row: 1 / span var(--parts, 1); display: grid; grid-auto-rows: var(--row); align-items: center; align-self: start; }
#head .name { font-family: var(--vscode-font-family); font-size: var(--vscode-font-size); color: inherit; }
.number, .cell { box-sizing: border-box; width: var(--cell); display: inline-flex; align-items: center; justify-content: center; }
.number { font-size: 11px; }
.small .number { visibility: hidden; }
.row .cell { height: calc(var(--row) - 4px); cursor: pointer; }
.cell { position: relative; border: 1px solid transparent; color: var(--vscode-editor-foreground); }
.small .row .cell { font-size: 0; height: calc(var(--row) - 2px); }
.cell[data-role='d'] { border-bottom-color: color-mix(in srgb, var(--vscode-editor-foreground) 22%, transparent); }
.cell[data-role='o'] { border: 1px solid var(--vscode-charts-blue); border-radius: 4px; background: color-mix(in srgb, var(--vscode-charts-blue) 22%, transparent); }
.cell[data-role='l'] { border: 1px solid color-mix(in srgb, var(--vscode-editor-foreground) 45%, transparent); background: repeating-linear-gradient(135deg, color-mix(in srgb, var(--vscode-editor-foreground) 20%, transparent) 0 2px, transparent 2px 6px); }
.cell[data-role='v'] { border: 2px dotted var(--vscode-charts-purple); }
.cell[data-role='b'] { border: 1px dashed var(--vscode-charts-green); background: color-mix(in srgb, var(--vscode-charts-green) 16%, transparent); }
.cell[data-role='s'] { border: 1px solid var(--vscode-charts-yellow); border-radius: 99px; background: color-mix(in srgb, var(--vscode-charts-yellow) 14%, transparent); }
.cell[data-sign='c']::after, .cell[data-sign='x']::after { content: ''; position: absolute; top: -1px; right: -1px; border: 5px solid; border-color: var(--mark) var(--mark) transparent transparent; }
.small .row .cell[data-sign='c']::after, .small .row .cell[data-sign='x']::after { border-width: 4px; }
.cell[data-sign='w'], .cell[data-sign='x'] { border-color: var(--wrong); border-style: solid; text-decoration: underline wavy var(--wrong); text-decoration-skip-ink: none; text-underline-offset: 2px; }
.small .row .cell[data-sign='w'], .small .row .cell[data-sign='x'] { background: var(--wrong); }
.broken .cell { grid-column: 2 / -1; justify-self: start; padding-left: 0.6em; width: auto; color: var(--wrong); }
.row .cell:hover { background-color: var(--vscode-list-hoverBackground); }
.cell[aria-current='location'] { outline: 1px dashed var(--vscode-focusBorder); outline-offset: 1px; z-index: 1; }
.cell[aria-selected='true'] { outline: none; box-shadow: 0 0 0 2px var(--vscode-focusBorder); z-index: 1; }
.row .cell:focus-visible { outline: 2px solid var(--vscode-focusBorder); outline-offset: 1px; z-index: 1; }
#ruler { position: relative; border-left: 1px solid var(--line); }
.mark { position: absolute; left: 2px; width: 5px; height: 3px; background: var(--mark); }
.mark.wrong { width: 10px; left: 1px; background: var(--wrong); }
#side { overflow: auto; padding: 0.8em 1em; border-left: 1px solid var(--line); }
#side h2 { margin: 0 0 0.35em; font-size: 1em; }
#side p { margin: 0 0 0.35em; white-space: pre-line; overflow-wrap: anywhere; }
@media (max-width: 38em) {
  .stage { grid-template: minmax(0, 1fr) auto / minmax(0, 1fr) 12px; }
  #side { grid-column: 1 / -1; box-sizing: border-box; max-height: min(14em, 40vh); min-height: 6em; padding-left: 0; border-left: 0; border-top: 1px solid var(--line); }
}
`;
