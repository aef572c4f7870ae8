/** One batch: its plan as a picture, stages, settings, orders, and what was noted. */
import { h, Loaded, Component, Link, address, go, Choice, whole, told, marked } from './ui.js';
import { state, may, get, post, batches, listen } from './server.js';
import { note, byWhom, quoted } from './outbox.js';
import { dayText, thisDay } from './days.js';
import { Conflicts } from './conflicts.js';
import { tryOut } from './trial.js';
import { TrialPanel } from './trial_panel.js';
import { Order } from './order.js';

export class Batch extends Component {
  constructor(props) {
    super(props);
    this.state = { list: null };
  }
  componentDidMount() {
    const load = () => batches().then((list) => this.setState({ list }));
    this.silence = listen('planned', load);
    load();
  }
  componentWillUnmount() { this.silence(); }
  render({ query }, { list }) {
    const all = list || [];
    const chosen = query.batch || (all[0] && all[0].id);
    const names = all.map((one) => [one.id, `${one.label} · ${one.title}`]);
    return h('div', null,
      h('div', { class: 'chooser' },
        all.length > 300
          ? h('label', { class: 'field' }, h('span', null, 'Batch'), h('input', { value: chosen, onChange: (event) => go(address('batch', { batch: event.target.value })) }))
          : h(Choice, { label: 'Batch', value: chosen, options: names, onChange: (batch) => go(address('batch', { batch })) }),
        may('plan') && h('button', { onClick: () => this.setState({ adding: !this.state.adding }), 'aria-expanded': String(!!this.state.adding) }, 'Plan a new batch')),
      this.state.adding && h(NewBatch, { done: () => this.setState({ adding: false }) }),
      chosen ? h(OneBatch, { key: chosen, batch: chosen }) : h('p', { class: 'wait' }, list ? 'The book has no batches yet.' : 'One moment …'));
  }
}

class OneBatch extends Loaded {
  ask() { return ['batch', { batch: this.props.batch }]; }
  why(data, cell, text) {
    return h(Link, { class: 'value', to: address('why', { batch: data.id, cell }), title: 'Why' }, text);
  }
  stages(data) {
    return h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Stages' }, h('table', { class: 'plain' },
      h('thead', null, h('tr', null, ['Stage', 'Start', 'End', 'May end', 'Float', 'Plants', 'Left', 'Room', 'What is set'].map((one) => h('th', { scope: 'col' }, one)))),
      h('tbody', null, data.stages.map((one) => h('tr', { key: one.name },
        h('th', { scope: 'row' }, one.title),
        h('td', null, this.why(data, `${one.name}.start`, dayText(one.start))),
        h('td', null, this.why(data, `${one.name}.end`, dayText(one.end))),
        h('td', null, one.earliest === one.latest ? '' : `${dayText(one.earliest, false)} to ${dayText(one.latest, false)}`),
        h('td', { class: 'number' }, one.float == null ? '' : one.float),
        h('td', { class: 'number' }, this.why(data, `${one.name}.plants`, whole(one.plants))),
        h('td', { class: 'number' }, this.why(data, `${one.name}.left`, whole(one.left))),
        h('td', null, one.room),
        h('td', null, one.settings.length > 0 && h('details', null, h('summary', null, `${one.settings.length} settings`),
          h('ul', null, one.settings.map((set) => h('li', null, `${dayText(set.from, false)} to ${dayText(set.to, false)}: ${set.text}`))))))))));
  }
  show(data) {
    const ahead = data.orders.filter((one) => one.state !== 'done' && one.state !== 'left out');
    return h('div', null,
      h('h1', null, `${data.label}: ${whole(data.plants)} ${data.rounds ? 'cards' : 'plants'}`, data.ready && ` ${data.rounds ? 'up to' : 'ready on'} ${dayText(data.ready)}`),
      h('p', { class: 'under' }, data.title, data.raised && data.hours && `, ${data.hours} of work`, data.over && `, over since ${dayText(data.over)}`),
      data.note && h('p', { class: 'note' }, data.note),
      data.expected.map((line) => h('p', null, marked(line))),
      h('div', { class: 'beside' }, h(Conflicts, { conflicts: data.conflicts, attempt: tryOut }), h(TrialPanel)),
      h('p', { class: 'tools' }, this.why(data, 'ready', 'Why this day'), h(Link, { to: address('season', { batch: data.id }) }, 'In the season')),
      data.dated && h('div', { class: 'scroll picture', tabindex: 0, role: 'region', 'aria-label': 'Picture of the plan' },
        h('img', { src: `/picture/batch?batch=${encodeURIComponent(data.id)}&turn=${state.turn}`, alt: `The stages of ${data.label} along its days, as the table below tells them` })),
      data.raised && [h('h2', null, 'Stages'), this.stages(data)],
      data.raised && may('record') && h(Count, { batch: data }),
      data.raised && h('h2', null, `Work ahead (${ahead.length})`),
      h('ul', { class: 'plain-list' }, ahead.slice(0, 60).map((one) => h('li', { key: one.id },
        h(Link, { to: address('today', { day: one.date }) }, dayText(one.date)), ` ${one.title}, ${one.plants_text}${one.time ? `, ${one.time}` : ''}${one.state === 'overdue' ? ' (overdue)' : ''}`))),
      h('h2', null, `Noted (${data.entries.length})`),
      data.entries.length === 0 ? h('p', null, 'Nothing is noted of this batch yet.')
        : h('ul', { class: 'plain-list' }, data.entries.map((one) => h('li', { key: one.id }, `${dayText(one.day)}${one.by ? `, ${one.by}` : ''}: `, told(one.told, data.title || data.id)))),
      data.notes.length > 0 && h('div', null, h('h2', null, 'What the plan takes for granted'), h('ul', null, data.notes.map((one) => h('li', null, one)))));
  }
}

/** Plants counted, or a sentence, of a stage of a batch. */
class Count extends Component {
  send(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    const { batch } = this.props;
    const stage = `${batch.id}/${form.get('stage')}`;
    const lines = [];
    if (form.get('counted')) lines.push(`${stage} counted ${form.get('counted')} on ${form.get('day')}${byWhom()}`);
    if (form.get('note')) lines.push(`${stage} note ${quoted(form.get('note'))} on ${form.get('day')}${byWhom()}`);
    if (lines.length === 0) return;
    note(lines);
    event.target.reset();
    this.setState({ told: 'It is noted. The plan above follows in a moment.' });
  }
  render({ batch }, { told: said }) {
    return h('form', { class: 'line-form', onSubmit: (event) => this.send(event) }, h('h2', null, 'Count'),
      h('label', { class: 'field' }, h('span', null, 'Stage'), h('select', { name: 'stage' }, batch.stages.map((one) => h('option', { value: one.name }, one.title)))),
      h('label', { class: 'field' }, h('span', null, 'Alive'), h('input', { name: 'counted', placeholder: '61 of 80', autocomplete: 'off', pattern: '[0-9]+( of [0-9]+)?' })),
      h('label', { class: 'field' }, h('span', null, 'Day'), h('input', { type: 'date', name: 'day', value: thisDay(), required: true })),
      h('label', { class: 'field' }, h('span', null, 'Note'), h('input', { name: 'note', autocomplete: 'off' })),
      h('button', null, 'Note it'), h('p', { role: 'status' }, said));
  }
}

/** A batch that is planned anew. */
class NewBatch extends Component {
  constructor(props) {
    super(props);
    this.state = { methods: [], said: [] };
  }
  async componentDidMount() {
    const { methods } = await get('methods');
    this.setState({ methods: methods.filter((one) => !one.rules) });
  }
  async send(event) {
    event.preventDefault();
    const form = Object.fromEntries(new FormData(event.target));
    const answer = await post('add', form);
    if (!answer.done) return this.setState({ said: answer.said });
    this.props.done();
    go(address('season', { batch: form.batch }));
  }
  render({}, { methods, said }) {
    return h('form', { class: 'panel', onSubmit: (event) => this.send(event) }, h('h2', null, 'A new batch'),
      h('label', { class: 'field' }, h('span', null, 'Name'), h('input', { name: 'batch', placeholder: 'FU27-4', required: true, pattern: '[A-Za-z0-9_\\-]+', maxlength: 40, autocomplete: 'off' })),
      h('label', { class: 'field' }, h('span', null, 'Method'), h('select', { name: 'protocol', required: true },
        methods.map((one) => h('option', { value: one.name }, `${one.title}, edition ${one.edition}`)))),
      h('label', { class: 'field' }, h('span', null, 'Plants'), h('input', { name: 'plants', inputmode: 'numeric', required: true, pattern: '[0-9]+', autocomplete: 'off' })),
      h('label', { class: 'field' }, h('span', null, 'Planned by'), h('select', { name: 'key' }, h('option', { value: 'ready' }, 'the day it is ready'),
        h('option', { value: 'not_before' }, 'the first day it may start'), h('option', { value: 'start' }, 'the day it starts'))),
      h('label', { class: 'field' }, h('span', null, 'Day'), h('input', { type: 'date', name: 'day', required: true })),
      said.length > 0 && h('ul', { class: 'said', role: 'alert' }, said.map((one) => h('li', { class: 'error' }, `${one.message} ${one.advice}`))),
      h('button', { class: 'main' }, 'Plan it'), ' ', h('button', { type: 'button', onClick: this.props.done }, 'Leave it'));
  }
}
