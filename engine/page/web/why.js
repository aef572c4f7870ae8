/** How a value came about, and what rests on it. Names of values lead on. */
import { h, Loaded, Component, Link, address, go } from './ui.js';
import { batches } from './server.js';

export class Why extends Component {
  constructor(props) {
    super(props);
    this.state = { list: [] };
  }
  componentDidMount() { batches().then((list) => this.setState({ list })); }
  send(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    go(address('why', { batch: form.get('batch'), cell: form.get('cell') }));
  }
  render({ query }, { list }) {
    const batch = query.batch || (list[0] && list[0].id) || '';
    const cell = query.cell || 'ready';
    return h('div', null,
      h('form', { class: 'chooser', onSubmit: (event) => this.send(event) },
        h('label', { class: 'field' }, h('span', null, 'Batch'), h('input', { name: 'batch', list: 'batches', value: batch, autocomplete: 'off' })),
        h('datalist', { id: 'batches' }, list.slice(0, 500).map((one) => h('option', { value: one.id }, one.title))),
        h('label', { class: 'field' }, h('span', null, 'Value'), h('input', { name: 'cell', list: 'cells', value: cell, autocomplete: 'off' })),
        h('button', null, 'Why?')),
      batch && h(Answer, { batch, cell, all: query.all || '' }));
  }
}

class Answer extends Loaded {
  ask() { return ['why', { batch: this.props.batch, cell: this.props.cell, all: this.props.all }]; }
  /** A paragraph in which the names of values lead to their own answer. */
  words(text, cells, batch) {
    return text.split(/(`[^`]+`|\b[a-z_0-9]+\.[a-z_]+\b)/g).map((piece) => {
      const name = piece.replace(/`/g, '');
      return cells.has(name) ? h(Link, { to: address('why', { batch, cell: name }) }, name) : piece.replace(/`/g, '');
    });
  }
  paragraphs(list, cells, batch) {
    return h('div', { class: 'why' }, list.map((one) => h('p', { class: `depth-${Math.min(one.depth, 6)}` }, this.words(one.text, cells, batch))));
  }
  show(data) {
    if (data.missing) return h('p', { class: 'alert' }, `There is no value \`${this.props.cell}\`. ${data.advice}`);
    const cells = new Set(data.cells);
    return h('div', null, h('h1', null, `${data.batch}: ${data.cell} is ${data.value}`),
      h('datalist', { id: 'cells' }, data.cells.map((one) => h('option', { value: one }))),
      h('div', { class: 'columns' },
        h('section', null, h('h2', null, 'How it came about'), this.paragraphs(data.why, cells, data.batch)),
        h('section', null, h('h2', null, 'What rests on it'), this.paragraphs(data.uses, cells, data.batch))),
      h('p', { class: 'tools' }, this.props.all ? h(Link, { to: address('why', { batch: data.batch, cell: data.cell }) }, 'In short')
        : h(Link, { to: address('why', { batch: data.batch, cell: data.cell, all: 1 }) }, 'Every step'),
        h(Link, { to: address('batch', { batch: data.batch }) }, 'The batch'), h(Link, { to: address('sheet') }, 'The sheet')));
  }
}
