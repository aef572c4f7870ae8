/** The editor for methods: CodeMirror with the words of the language, the mistakes that the engine finds, and what may stand at a place. */
import { budwood } from '/colours/budwood.js';

const files = ['lib/codemirror.js', 'addon/lint/lint.js', 'addon/hint/show-hint.js', 'addon/edit/matchbrackets.js'];
const styles = ['lib/codemirror.css', 'addon/lint/lint.css', 'addon/hint/show-hint.css'];

function load(tag, attributes) {
  return new Promise((done, failed) => {
    const element = Object.assign(document.createElement(tag), attributes);
    element.onload = done;
    element.onerror = failed;
    document.head.appendChild(element);
  });
}

let loaded = null;
async function library() {
  for (const file of styles) await load('link', { rel: 'stylesheet', href: `/codemirror/${file}` });
  for (const file of files) await load('script', { src: `/codemirror/${file}` });
  window.CodeMirror.defineMode('budwood', () => budwood);
  return window.CodeMirror;
}

const place = (one) => ({ from: { line: one.line - 1, ch: one.column - 1 }, to: { line: one.end_line - 1, ch: one.end_column - 1 } });

/** What the engine says, at its place. */
function marks(said) {
  return said.filter((one) => one.place).map((one) => {
    const { from, to } = place(one.place);
    if (to.line === from.line) to.ch = Math.max(to.ch, from.ch + 1);
    return { from, to, message: `${one.message} ${one.advice}`, severity: one.severity === 'error' ? 'error' : 'warning' };
  });
}

/** What may stand where the cursor is, as a list under it. */
async function choices(editor, complete) {
  const at = editor.getCursor();
  const list = await complete(editor.getValue(), at.line + 1, at.ch + 1);
  if (list.length === 0) return null;
  const render = (element, data, one) => {
    element.append(one.displayText, Object.assign(document.createElement('span'), { className: 'what', textContent: one.detail }));
  };
  return { ...place(list[0].place), list: list.map((one) => ({ text: one.insert, displayText: one.label, detail: one.detail, render })) };
}

/** Makes the changes of a mend, the last place first. */
export function mend(editor, edits) {
  const places = edits.map((one) => ({ ...place(one.place), text: one.text }));
  places.sort((a, b) => b.from.line - a.from.line || b.from.ch - a.from.ch);
  editor.operation(() => places.forEach((one) => editor.replaceRange(one.text, one.from, one.to)));
  editor.focus();
}

/**
 * Makes an editor of a text area.
 * @param {{readOnly: boolean, check: function(string): Promise<object[]>, complete: function(string, number, number): Promise<object[]>, point: function(string, number, number), changed: function()}} how
 */
export async function openEditor(area, how) {
  loaded = loaded || library();
  const CodeMirror = await loaded;
  const editor = CodeMirror.fromTextArea(area, {
    mode: 'budwood', lineNumbers: true, lineWrapping: true, tabSize: 2, indentUnit: 2, readOnly: how.readOnly, matchBrackets: true,
    gutters: ['CodeMirror-lint-markers', 'CodeMirror-linenumbers'], inputStyle: 'contenteditable',
    lint: { delay: 300, async: true, getAnnotations: (typed, update) => how.check(typed).then((said) => update(editor, marks(said)), () => {}) },
    // Tab leaves the editor, as it leaves every other field.
    extraKeys: { Tab: false, 'Shift-Tab': false, 'Ctrl-Space': (one) => one.showHint({ hint: () => choices(one, how.complete), completeSingle: false }) },
  });
  editor.getInputField().setAttribute('aria-label', 'Text of the method');
  editor.setSize(null, 'min(70vh, 900px)');
  editor.on('change', how.changed);
  let waiting = 0;
  editor.on('cursorActivity', () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => how.point(editor.getValue(), editor.getCursor().line + 1, editor.getCursor().ch + 1), 200);
  });
  return editor;
}
