import { h, Loaded, Link, address, go } from './ui.js';

const keys = [
  ['Sheet', 'Arrows', 'go from value to value; with Shift a block is chosen'],
  ['Sheet', 'Enter, F2 or typing', 'change a value; Escape leaves it as it was'],
  ['Sheet', 'Ctrl+C, Ctrl+V', 'copy a block for a spreadsheet, paste a column from one'],
  ['Sheet', 'Ctrl+Z, Ctrl+Y', 'take a change back, make it again'],
  ['Sheet', 'Alt+Enter', 'why a value is what it is'],
  ['Season', 'Arrow left and right on a batch', 'try it a day earlier or later; with Shift a week'],
  ['Season', 'Enter on a batch', 'open it'],
];

/** What the references say of a statement, of the code of a message, of a topic. */
class Topic extends Loaded {
  ask() { return ['topic', { topic: this.props.topic }]; }
  show(data) {
    if (data.text) return h('pre', { class: 'topic', tabindex: 0 }, data.text);
    return h('p', { role: 'status' }, 'There is nothing on “', this.props.topic, '”.',
      data.near && [' Is it ', h(Link, { to: address('help', { topic: data.near }) }, data.near), '?']);
  }
}

function look(event) {
  event.preventDefault();
  go(address('help', { topic: event.target.elements.topic.value.trim() }));
}

/** What the page can do, for people who have never seen it. */
export function Help({ query }) {
  return h('div', { class: 'prose' }, h('h1', null, 'Help'),
    h('form', { class: 'tools', role: 'search', onSubmit: look },
      h('label', { class: 'field' }, h('span', null, 'Look up a word of a method, the code of a message or a topic'),
        h('input', { name: 'topic', type: 'search', value: query.topic || '', placeholder: 'such as lasts, unit-mismatch, climate' })),
      h('button', null, 'Look up')),
    query.topic && h(Topic, { key: query.topic, topic: query.topic }),
    h('h2', null, 'What is where'),
    h('dl', null,
      ...[['Today', 'the work of a day. A tap on the box ticks it off; “Details” takes plants, time, counts and notes.'],
        ['Season', 'all batches along the days, rooms and crews below. Drag a batch to see what moves before anything is kept.'],
        ['Sheet', 'every value beside each other. Change one, and what follows changes at once.'],
        ['Batch', 'one batch: its plan, settings, orders, and what was noted of it.'],
        ['Needs', 'what to buy by when; stock typed in after counting.'],
        ['Why', 'how a date or number came about, and what rests on it.'],
        ['Results', 'what came of the batches, and what that teaches.'],
        ['Methods', 'the written methods, to read and to change.']].map(([term, words]) => [h('dt', null, term), h('dd', null, words)]).reduce((all, pair) => all.concat(pair), [])),
    h('h2', null, 'Keys'),
    h('table', { class: 'plain' }, h('thead', null, h('tr', null, h('th', null, 'Where'), h('th', null, 'Key'), h('th', null, 'What it does'))),
      h('tbody', null, keys.map((row) => h('tr', null, row.map((cell) => h('td', null, cell)))))),
    h('h2', null, 'Without the network'),
    h('p', null, 'A phone that loses the network keeps what was ticked and noted, and sends it when the network is back. Leave the page open until then. Nothing is noted twice.'));
}
