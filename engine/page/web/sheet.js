/** The sheet: the values of all batches of a method beside each other, and what follows when one is changed. */
import { h, Component, Choice, address, go, Said } from './ui.js';
import { get, listen, may, post } from './server.js';
import { note, byWhom } from './outbox.js';
import { thisDay } from './days.js';
import { Grid } from './grid.js';
import { trial, cellKey, want, attempt, keep, undo, redo } from './trial.js';
import { TrialPanel } from './trial_panel.js';

const blockSize = 60;
const flash = 2500;
const longestAnswer = 10000;

export class Sheet extends Component {
  constructor(props) {
    super(props);
    this.blocks = new Map();
    this.stale = new Set();  // blocks of the plan before
    this.rows = new Map();   // those that are there, by batch
    this.fresh = new Map();  // cells that have just changed, until when
    this.keeping = new Map();  // cells whose change is under way, and which of them is the last
    this.taken = [];  // values that changed lately, and when
    this.state = { layout: null, said: [], clashes: [], mine: [], whatIf: trial.wanted.length > 0, changed: [], filter: '' };
  }
  componentDidMount() {
    this.silence = [listen('planned', () => this.load(true)), listen('cells', (cells) => this.take(cells)), listen('trial', () => this.setState({}))];
    this.load();
  }
  componentWillUnmount() { this.silence.forEach((end) => end()); }
  componentDidUpdate(before) {
    if (JSON.stringify(before.query) !== JSON.stringify(this.props.query)) this.load();
  }
  words() {
    const { sheet, all, sort, down, filter } = this.props.query;
    return { sheet: sheet || 0, all, sort, down, filter };
  }
  /** Asks for everything; `again`: the same batches in the same order, planned anew. */
  async load(again = false) {
    const layout = await get('sheet', this.words());
    const columns = [];
    for (const group of layout.groups || []) {
      for (const cell of group.cells) {
        const stage = group.stage ? group.stage + '.' : 'batch.';
        columns.push({ ...cell, group: group.title, short: cell.name.startsWith(stage) ? cell.name.slice(stage.length) : cell.name });
      }
    }
    const names = (all) => JSON.stringify((all || []).map((one) => one.name));
    if (again && names(columns) === names(this.state.columns)) {
      this.stale = new Set(this.blocks.keys());  // shown until the new ones are there, so that nobody types into nothing
    } else {
      this.blocks.clear();
      this.rows.clear();
      this.stale.clear();
    }
    this.setState({ layout, columns });
  }
  /** A row, or null while it is asked for. */
  row(i) {
    const block = Math.floor(i / blockSize);
    const there = this.blocks.get(block);
    if (!there || this.stale.delete(block)) {
      if (!there) this.blocks.set(block, []);
      const asked = Date.now();
      get('rows', { ...this.words(), from: block * blockSize, to: (block + 1) * blockSize }).then((answer) => {
        this.blocks.set(block, answer.rows);
        answer.rows.forEach((one) => this.rows.set(one.batch, one));
        // What changed while they were on their way is newer than they are.
        this.taken.filter((one) => one.at >= asked).forEach((one) => this.put(one));
        this.setState({});
      }, () => this.blocks.delete(block));
    }
    return (there && there[i % blockSize]) || null;
  }
  /** Values that were changed, here or in another window. */
  take(cells, own = false) {
    const until = Date.now() + flash;
    for (const one of cells.values) {
      // What is being kept is shown already: word of the change before it may come late.
      if (!own && this.keeping.has(cellKey(one.batch, one.cell))) continue;
      this.fresh.set(cellKey(one.batch, one.cell), until);
      this.taken.push({ ...one, at: Date.now() });
      this.put(one);
    }
    this.taken = this.taken.filter((one) => one.at > Date.now() - longestAnswer);
    if (cells.values.length > 0) this.setState({ changed: cells.values });
    setTimeout(() => this.setState({}), flash + 50);
  }
  put({ batch, cell, value, sign }) {
    const row = this.rows.get(batch);
    const i = row ? this.state.columns.findIndex((column) => column.name === cell) : -1;
    if (i < 0) return;
    row.values[i] = value;
    row.signs = row.signs.slice(0, i) + sign + row.signs.slice(i + 1);
  }
  cell(row, column) {
    const name = this.state.columns[column].name;
    const tried = trial.values.get(cellKey(row.batch, name));
    const sign = row.signs[column];
    const means = ((this.state.layout.signs || []).find((one) => one.sign === sign) || {}).means;
    if (tried) return { text: tried.value, sign, means, mark: 'tried' };
    const until = this.fresh.get(cellKey(row.batch, name));
    return { text: row.values[column], sign, means, mark: until && until > Date.now() ? 'fresh' : '' };
  }
  change(row, column, text, was = row.values[column]) {
    const { name, change } = this.state.columns[column];
    return { change: `${row.batch}.${change === name ? name : change}=${text.trim()}`, cell: name, was };
  }
  async edit(row, column, text, was) {
    const column_ = this.state.columns[column];
    if (column_.change === 'counted') {
      const stage = column_.name.slice(0, column_.name.lastIndexOf('.'));
      note([`${row.batch}/${stage} counted ${text.trim()} on ${thisDay()}${byWhom()}`]);
      return;
    }
    if (!may('plan') && !this.state.whatIf) return this.setState({ said: [{ severity: 'note', message: 'Values are changed by people who may plan; try it under “What if”.', advice: '' }] });
    // Of what is only tried the book knows nothing.
    const tried = this.state.whatIf || trial.values.has(cellKey(row.batch, column_.name));
    await this.make([this.change(row, column, text, tried ? undefined : was)]);
  }
  /** Keeps changes, or only tries them. */
  async make(changes) {
    const begun = performance.now();
    const drawn = () => requestAnimationFrame(() => performance.measure('edit', { start: begun, end: performance.now() }));
    if (this.state.whatIf) {
      changes.forEach((one) => want(one.change, one.cell, one.was));
      await attempt(false);
      this.later();
      return drawn();
    }
    // What follows is shown at once; writing the file of a large book takes longer.
    const keys = changes.map((one) => cellKey(one.change.slice(0, one.change.indexOf('.')), one.cell));
    const turn = Symbol('change');
    keys.forEach((key) => this.keeping.set(key, turn));
    let answer;
    try {
      const { tried } = await post('try', { changes: changes.map((one) => one.change), whole: false });
      if (tried && !tried.problem) this.take(tried.cells, true);
      drawn();
      answer = await keep(changes);
    } finally {
      keys.filter((key) => this.keeping.get(key) === turn).forEach((key) => this.keeping.delete(key));
    }
    this.setState({ said: answer.said, clashes: answer.clashes, mine: changes });
    if (!answer.done) this.load();  // as it was
  }
  /** The whole plan follows when nothing was changed for a moment. */
  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => attempt(true), 250);
  }
  paste(top, left, lines) {
    const changes = [];
    lines.forEach((cells, down) => cells.forEach((text, right) => {
      const row = this.row(top + down);
      const column = this.state.columns[left + right];
      if (row && column && column.change && column.change !== 'counted' && text.trim() !== '') changes.push(this.change(row, left + right, text));
    }));
    if (changes.length > 0) this.make(changes);
  }
  /** What somebody else has changed meanwhile, beside what was typed here. */
  clashes() {
    const { clashes, mine } = this.state;
    if (clashes.length === 0) return null;
    const typed = (clash) => (mine.find((one) => one.change.startsWith(`${clash.batch}.`) && one.cell === clash.cell) || { change: '' }).change;
    return h('div', { class: 'alert', role: 'alert' }, h('p', null, 'Somebody else has changed this meanwhile. Nothing of yours was written:'),
      h('table', { class: 'plain small' }, h('thead', null, h('tr', null, ['Value', 'You saw', 'It is now', 'You typed'].map((one) => h('th', { scope: 'col' }, one)))),
        h('tbody', null, clashes.map((one) => h('tr', null, h('td', null, `${one.batch} ${one.cell}`), h('td', null, one.was), h('td', null, one.is), h('td', null, typed(one).slice(typed(one).indexOf('=') + 1)))))),
      h('button', { onClick: () => this.make(mine.map((one) => ({ ...one, was: '' }))) }, 'Keep mine all the same'), ' ',
      h('button', { onClick: () => this.setState({ clashes: [] }) }, 'Leave theirs'));
  }
  async back(step) {
    const answer = await step();
    if (answer) this.setState({ said: answer.said, clashes: answer.clashes, mine: [] });
  }
  choose(words) { go(address('sheet', { ...this.props.query, ...words }), true); }
  head(layout) {
    const { all, filter } = this.props.query;
    return h('div', { class: 'chooser' },
      h(Choice, { label: 'Method', value: String(layout.sheet), options: layout.sheets.map((one) => [String(one.sheet), `${one.title} (${one.batches})`]), onChange: (sheet) => this.choose({ sheet, sort: '' }) }),
      h('form', { onSubmit: (event) => { event.preventDefault(); this.choose({ filter: new FormData(event.target).get('filter') }); } },
        h('label', { class: 'field' }, h('span', null, 'Only batches with'), h('input', { name: 'filter', value: filter || '', autocomplete: 'off' }))),
      h('label', { class: 'check' }, h('input', { type: 'checkbox', checked: all === '1', onChange: (event) => this.choose({ all: event.target.checked ? '1' : '' }) }), ' Every value'),
      h('label', { class: 'check' }, h('input', { type: 'checkbox', id: 'what-if', checked: this.state.whatIf, onChange: (event) => this.setState({ whatIf: event.target.checked }) }), ' What if: only try'),
      h('span', { class: 'tools' }, h('button', { disabled: trial.undo.length === 0, onClick: () => this.back(undo) }, 'Undo'),
        h('button', { disabled: trial.redo.length === 0, onClick: () => this.back(redo) }, 'Redo')));
  }
  render({ query }, { layout, columns, said, changed }) {
    if (!layout) return h('p', { class: 'wait', role: 'status' }, 'One moment …');
    if (!layout.groups) return h('p', null, 'The book has no batches yet.');
    const on = {
      edit: (row, column, text, was) => this.edit(row, column, text, was),
      why: (row, column) => go(address('why', { batch: row.batch, cell: columns[column].name })),
      paste: (top, left, lines) => this.paste(top, left, lines),
      sort: (column) => this.choose(query.sort !== column.name ? { sort: column.name, down: '' } : query.down === '1' ? { sort: '', down: '' } : { down: '1' }),
      undo: () => this.back(undo), redo: () => this.back(redo),
    };
    return h('div', { class: 'sheet' }, h('h1', { class: 'aside-title' }, 'Sheet'), this.head(layout),
      h(Said, { said }),
      this.clashes(),
      h('div', { class: 'beside' },
        h(Grid, { key: `${layout.sheet}${query.all}`, columns, count: layout.batches, row: (i) => this.row(i), cell: (row, column) => this.cell(row, column), on,
          sorted: { name: query.sort || '', down: query.down === '1' } }),
        h(TrialPanel)),
      h('p', { class: 'legend' }, layout.signs.map((one) => h('span', null, h('b', null, one.sign), ` ${one.means}`)),
        h('span', null, h('b', { class: 'box open' }), ' can be changed'), h('span', null, h('b', { class: 'box fresh' }), ' has just changed'), h('span', null, h('b', { class: 'box tried' }), ' only tried')),
      h('div', { role: 'status', class: 'under' }, changed.length > 0 && h('details', null, h('summary', null, `${changed.length} values changed`),
        h('ul', null, changed.slice(0, 40).map((one) => h('li', null, `${one.batch} ${one.cell}: ${one.was} → ${one.value}`))))));
  }
}
