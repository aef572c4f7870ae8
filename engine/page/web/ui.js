/** What all views are made with. */
export { h, Component, render } from '/preact/preact';
import { h, Component } from '/preact/preact';
import { get, listen } from './server.js';

/**
 * A view that shows what the server tells, and asks again when the plan has changed.
 * What derives from it has `ask()`, which gives [name, parameters], and `show(data)`.
 */
export class Loaded extends Component {
  constructor(props) {
    super(props);
    this.state = { data: null, problem: '' };
  }
  componentDidMount() {
    this.silence = listen('planned', () => this.load());
    this.load();
  }
  componentWillUnmount() {
    this.silence();
    this.gone = true;
  }
  componentDidUpdate() {
    if (JSON.stringify(this.ask()) !== this.asked) this.load();
  }
  async load() {
    const [name, words] = this.ask();
    this.asked = JSON.stringify([name, words]);
    const asked = this.asked;
    try {
      const data = await get(name, words);
      if (!this.gone && asked === this.asked) this.setState({ data, problem: '' }, () => this.shown && this.shown());
    } catch (error) {
      if (!this.gone && asked === this.asked) this.setState({ problem: error.message, data: error.missing ? null : this.state.data });
    }
  }
  render() {
    const { data, problem } = this.state;
    if (!data) return h('p', { class: 'wait', role: 'status' }, problem || 'One moment …');
    return h('div', null, problem && h('p', { class: 'alert', role: 'alert' }, problem), this.show(data));
  }
}

/** A link to a view that does not load the document anew. */
export function Link({ to, children, ...rest }) {
  const open = (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.button > 0) return;
    event.preventDefault();
    history.pushState(null, '', to);
    dispatchEvent(new Event('popstate'));
  };
  return h('a', { href: to, onClick: open, ...rest }, children);
}

/** The address of a view: address('why', {batch: 'A', cell: 'ready'}). */
export function address(view, words = {}) {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(words)) if (value !== '' && value != null) query.set(name, value);
  const text = query.toString();
  return '/' + view + (text ? '?' + text : '');
}

/** Goes there; `instead` of the present address, so that going back leads to the one before. */
export function go(to, instead = false) {
  if (instead) history.replaceState(null, '', to);
  else history.pushState(null, '', to);
  dispatchEvent(new Event('popstate'));
}

/** A choice with a label. */
export function Choice({ label, value, options, onChange, id }) {
  return h('label', { class: 'field' }, h('span', null, label),
    h('select', { id, value, onChange: (event) => onChange(event.target.value) },
      options.map((one) => {
        const [key, text] = Array.isArray(one) ? one : [one, one];
        return h('option', { value: key, selected: key === value }, text);
      })));
}

/** The head of a column; of one with numbers it is given as [name]. */
export const columnHead = (one) => (Array.isArray(one) ? h('th', { scope: 'col', class: 'number' }, one[0]) : h('th', { scope: 'col' }, one));

/** Text in which what people have written stands between backquotes. */
export const marked = (text) => text.split('`').map((piece, i) => (i % 2 ? h('code', null, piece) : piece));

/** What was noted, with the photos that it names. */
export function told(text, about) {
  return text.split(/photo ([0-9a-f]{16}\.jpg)/).map((piece, i) => (i % 2 === 0 ? piece
    : h('a', { class: 'photo', href: `/photos/${piece}` }, h('img', { src: `/photos/${piece}`, alt: `Photo: ${about}`, loading: 'lazy' }))));
}

/** Where something is written; a line of a method leads to it. */
export function Place({ place }) {
  if (!place || !place.file || place.file.startsWith('--')) return null;
  const where = `${place.file}, line ${place.line}`;
  return h('span', { class: 'place' }, ' (', place.file.endsWith('.bud')
    ? h(Link, { to: address('methods', { file: place.file, line: place.line }) }, where) : where, ')');
}

/** What the engine says: errors, warnings and notes, each with what to do. */
export function Said({ said, mend }) {
  if (!said || said.length === 0) return null;
  return h('ul', { class: 'said' }, said.map((one) => h('li', { class: one.severity },
    h('b', null, { error: 'Error: ', warning: 'Note well: ', note: 'Note: ' }[one.severity]),
    marked(one.message), ' ', one.advice && h('span', null, marked(one.advice)),
    h(Place, { place: one.place }),
    // Codes with a point are of somebody's own rules.
    one.code && !one.code.includes('.') && [' ', h(Link, { to: address('help', { topic: one.code }), class: 'code' }, one.code)],
    mend && (one.mends || []).map((choice) => [' ', h('button', { onClick: () => mend(choice.edits) }, marked(choice.title))]))));
}

/** Numbers that stand for themselves, with spaces between thousands. */
export function whole(number) {
  return number == null ? '–' : Math.round(number).toString().replace(/\B(?=(\d{3})+$)/g, '\u202f');
}
