/** The written methods: to read, to change, with mistakes marked while one types. */
import { h, Component, Loaded, Link, address, marked, Said } from './ui.js';
import { get, post, may } from './server.js';
import { openEditor, mend } from './editor.js';

export class Methods extends Component {
  render({ query }) {
    return query.file ? h(Method, { key: query.file, file: query.file, line: Number(query.line) || 0 }) : h(List);
  }
}

class List extends Loaded {
  ask() { return ['methods', {}]; }
  show(data) {
    const used = data.methods.filter((one) => one.batches > 0);
    const rest = data.methods.filter((one) => one.batches === 0 && !one.rules);
    const rules = data.methods.filter((one) => one.rules);
    const list = (title, all) => all.length > 0 && h('section', null, h('h2', null, title), h('ul', { class: 'plain-list' }, all.map((one) => h('li', { key: one.file + one.name },
      h(Link, { to: address('methods', { file: one.file }) }, one.title), `, edition ${one.edition}`, one.batches > 0 && `: ${one.batches} ${one.batches === 1 ? 'batch' : 'batches'}`))));
    return h('div', null, h('h1', null, 'Methods'), list('In use', used), list('In the library', rest), list('Rules', rules));
  }
}

/** The place of the editor, which changes it by itself: it is drawn once. */
class Editor extends Component {
  shouldComponentUpdate() { return false; }
  componentDidMount() {
    const { text, check, complete, point, changed, opened } = this.props;
    const area = document.createElement('textarea');
    area.value = text;
    area.setAttribute('aria-label', 'Text of the method');
    this.place.appendChild(area);
    openEditor(area, { readOnly: !may('plan'), check, complete, point, changed }).then(opened);
  }
  render() { return h('div', { ref: (place) => { this.place = place; } }); }
}

class Method extends Loaded {
  ask() { return ['method', { file: this.props.file }]; }
  /** What others change does not go over what is being typed. */
  async load() {
    if (this.editor && this.changed()) return;
    await super.load();
    if (this.editor && this.editor.getValue() !== this.state.data.text) this.editor.setValue(this.state.data.text);
  }
  opened(editor) {
    this.editor = editor;
    const { line } = this.props;
    if (line > 0) {
      editor.setCursor({ line: line - 1, ch: 0 });
      editor.scrollIntoView(null, 200);
    }
    this.setState({});
  }
  changed() { return this.editor && this.editor.getValue() !== this.state.data.text; }
  async check(text) {
    const answer = await post('check', { file: this.props.file, text });
    this.setState({ said: answer.said });
    return answer.said;
  }
  async complete(text, line, column) {
    const answer = await post('complete', { file: this.props.file, text, line, column });
    return answer.choices || [];
  }
  async point(text, line, column) {
    const answer = await post('point', { file: this.props.file, text, line, column }).catch(() => ({}));
    this.setState({ pointed: (answer.text || '').replace(/```(budwood)?\n/g, '') });
  }
  /** What the text as it is typed would do to the batches: nothing is saved. */
  async effect() {
    const answer = await post('effect', { file: this.props.file, text: this.editor.getValue() });
    this.setState(answer.said ? { said: answer.said } : { effect: answer.text || 'To the batches it is all the same.' });
  }
  async tidy() {
    const answer = await post('tidy', { file: this.props.file, text: this.editor.getValue() });
    if (answer.said) return this.setState({ said: answer.said });
    if (answer.text !== this.editor.getValue()) this.editor.setValue(answer.text);
  }
  async save() {
    const text = this.editor.getValue();
    const answer = await post('save', { file: this.props.file, text, digest: this.state.data.digest });
    if (answer.other !== undefined) return this.setState({ other: answer.other, said: [] });
    if (!answer.done) return this.setState({ said: answer.said });
    this.state.data.text = text;
    this.setState({ saved: 'Saved. The plan goes by it now.', other: undefined });
    const fresh = await get('method', { file: this.props.file });
    if (fresh.text === text) this.setState({ data: fresh });
    else this.waitFor(text);
  }
  /** The book is read anew a moment after it was written. */
  async waitFor(text) {
    for (let i = 0; i < 20; ++i) {
      await new Promise((done) => setTimeout(done, 300));
      const fresh = await get('method', { file: this.props.file });
      if (fresh.text === text) return this.setState({ data: fresh, turn: Date.now() });
    }
  }
  async takeTheirs() {
    this.editor.setValue(this.state.other);
    await super.load();
    this.setState({ other: undefined });
  }
  show(data) {
    const { said, saved, other, turn, pointed, effect } = this.state;
    const errors = (said || []).filter((one) => one.severity === 'error').length;
    return h('div', { class: 'method' },
      h('p', { class: 'tools' }, h(Link, { to: '/methods' }, 'All methods')), h('h1', null, data.file),
      h('div', { class: 'columns' },
        h('section', null,
          h(Editor, { text: data.text, check: (text) => this.check(text), complete: (...place) => this.complete(...place), point: (...place) => this.point(...place), changed: () => this.setState({ saved: '', effect: undefined }), opened: (editor) => this.opened(editor) }),
          may('plan') && h('p', { class: 'tools' }, h('button', { class: 'main', disabled: errors > 0 || !this.editor, onClick: () => this.save() }, 'Save'),
            h('button', { disabled: !this.editor, onClick: () => this.tidy() }, 'Tidy up'),
            h('button', { disabled: errors > 0 || !this.editor, onClick: () => this.effect() }, 'What it would do'),
            errors > 0 ? h('span', { class: 'sign' }, `${errors} ${errors === 1 ? 'mistake' : 'mistakes'} to mend first`) : h('span', { role: 'status' }, saved)),
          h('p', { class: 'pointed', role: 'status' }, marked(pointed || '')),
          effect !== undefined && h('pre', { class: 'topic', tabindex: 0, role: 'region', 'aria-label': 'What the text would do to the batches' }, effect),
          other !== undefined && h('div', { class: 'alert', role: 'alert' }, h('p', null, 'Somebody else has changed this method meanwhile. This is what it says now:'), h('pre', { tabindex: 0 }, other),
            h('button', { onClick: () => this.takeTheirs() }, 'Take theirs')),
          may('plan') && h('p', { class: 'hint' }, h('kbd', null, 'Ctrl'), ' + ', h('kbd', null, 'Space'), ' shows what may stand where the cursor is.'),
          h('div', { role: 'status' }, h(Said, { said, mend: may('plan') && this.editor && ((edits) => mend(this.editor, edits)) }))),
        h('section', null, h('h2', null, 'Its days'), data.protocols.map((name) => h('div', { class: 'scroll picture', tabindex: 0, role: 'region', 'aria-label': `Stages of ${name}` },
          h('img', { src: `/picture/method?protocol=${encodeURIComponent(name)}&turn=${turn || 0}`, alt: `The stages of ${name} along its days` }))))));
  }
}
