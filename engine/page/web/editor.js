/** The editor for methods: CodeMirror with the words of the language and the mistakes that the engine finds. */
const files = ['/codemirror/lib/codemirror.js', '/codemirror/addon/mode/simple.js', '/codemirror/addon/lint/lint.js', '/codemirror/addon/edit/matchbrackets.js'];
const styles = ['/codemirror/lib/codemirror.css', '/codemirror/addon/lint/lint.css'];

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
  for (const href of styles) await load('link', { rel: 'stylesheet', href });
  for (const src of files) await load('script', { src });
  defineMode(window.CodeMirror);
  return window.CodeMirror;
}

const blocks = 'protocol rules part stage supply input let table observe variant change drop set based on do if for each from to rule require advise waive';
const statements = 'edition crop source note season lasts room space keep taper mist loses yields until may wait no after starts within joins with into of usually at most least day last start end '
  + 'every daily once time rate people crew use per each tool tagged caution record by night and or not then else between over reused hazard pack scrap warn move duty';

function defineMode(CodeMirror) {
  const words = (list) => new RegExp(`(?:${list.split(' ').join('|')})\\b`);
  CodeMirror.defineSimpleMode('budwood', {
    start: [
      { regex: /#.*/, token: 'comment' },
      { regex: /"[^"]*"?/, token: 'string' },
      { regex: /\d[\d.,]*(?:\s?(?:%|degC|degF|K|mL|L|cm|mm|m2|m|g|kg|h|min|s|days?|weeks?|umol\/m2\/s|kPa))?(?![\w.])/, token: 'number' },
      { regex: words(blocks), token: 'keyword', sol: false },
      { regex: words(statements), token: 'builtin' },
      { regex: /[A-Za-z_]\w*/, token: 'variable' },
      { regex: /\{/, indent: true }, { regex: /\}/, dedent: true },
    ],
    meta: { lineComment: '#', dontIndentStates: ['comment'] },
  });
}

/** What the engine says, at its place. */
function marks(CodeMirror, said) {
  return said.filter((one) => one.place).map((one) => ({
    from: CodeMirror.Pos(one.place.line - 1, one.place.column - 1),
    to: CodeMirror.Pos(one.place.end_line - 1, Math.max(one.place.end_column - 1, one.place.column)),
    message: `${one.message} ${one.advice}`, severity: one.severity === 'error' ? 'error' : 'warning',
  }));
}

/**
 * Makes an editor of a text area.
 * @param {{readOnly: boolean, check: function(string): Promise<object[]>, changed: function()}} how
 */
export async function openEditor(area, how) {
  loaded = loaded || library();
  const CodeMirror = await loaded;
  const editor = CodeMirror.fromTextArea(area, {
    mode: 'budwood', lineNumbers: true, lineWrapping: true, tabSize: 2, indentUnit: 2, readOnly: how.readOnly, matchBrackets: true,
    gutters: ['CodeMirror-lint-markers', 'CodeMirror-linenumbers'], inputStyle: 'contenteditable',
    lint: { delay: 300, async: true, getAnnotations: (typed, update) => how.check(typed).then((said) => update(editor, marks(CodeMirror, said)), () => {}) },
    // Tab leaves the editor, as it leaves every other field.
    extraKeys: { Tab: false, 'Shift-Tab': false },
  });
  editor.getInputField().setAttribute('aria-label', 'Text of the method');
  editor.setSize(null, 'min(70vh, 900px)');
  editor.on('change', how.changed);
  return editor;
}
