/** What would change, and what to do about it: keep it or let it go. */
import { h, Component, Said } from './ui.js';
import { may, listen } from './server.js';
import { trial, attempt, drop, keepAll, tryOut } from './trial.js';
import { Conflicts } from './conflicts.js';

const shown = 40;

/** A value as people read it: no more digits than mean something. */
const value = (given) => (given === null || given === undefined || given === '' ? '–' : typeof given === 'number' ? String(Number(given.toPrecision(5))) : String(given));
const unit = (one) => (one.unit && !/^(date|days?)$/.test(one.unit) ? ` ${one.unit}` : '');

function Differences({ title, rows }) {
  if (rows.length === 0) return null;
  return h('details', { open: rows.length < 16 }, h('summary', null, `${title} (${rows.length})`),
    h('table', { class: 'plain small' }, h('thead', null, h('tr', null, ['What', 'Before', 'After'].map((one) => h('th', { scope: 'col' }, one)))),
      h('tbody', null, rows.slice(0, shown).map((one) => h('tr', null,
        h('td', null, [one.batch, one.title || one.name, one.value].filter(Boolean).join(': ')),
        h('td', null, value(one.before)), h('td', null, h('b', null, value(one.after)), unit(one)))))),
    rows.length > shown && h('p', { class: 'under' }, `and ${rows.length - shown} more`));
}

export class TrialPanel extends Component {
  componentDidMount() {
    this.silence = listen('trial', () => this.setState({ clashes: null }));
  }
  componentWillUnmount() { this.silence(); }
  async keep() {
    const answer = await keepAll();
    this.setState({ clashes: answer.clashes.length > 0 ? answer.clashes : null, said: answer.said });
  }
  clashes() {
    const { clashes } = this.state;
    return clashes && h('div', { class: 'alert', role: 'alert' }, h('p', null, 'Somebody else has changed this meanwhile:'),
      h('table', { class: 'plain small' }, h('thead', null, h('tr', null, ['Value', 'You saw', 'It is now'].map((one) => h('th', { scope: 'col' }, one)))),
        h('tbody', null, clashes.map((one) => h('tr', null, h('td', null, `${one.batch} ${one.cell}`), h('td', null, one.was), h('td', null, one.is))))),
      h('button', { onClick: () => { trial.wanted.forEach((one) => { one.was = ''; }); this.keep(); } }, 'Keep mine all the same'), ' ',
      h('button', { onClick: drop }, 'Leave theirs'));
  }
  render({}, { said }) {
    const { wanted, tried } = trial;
    if (wanted.length === 0) return trial.said.length > 0 ? h('aside', { class: 'panel trial', 'aria-label': 'What if' }, h(Said, { said: trial.said })) : null;
    return h('aside', { class: 'panel trial', 'aria-label': 'What if' },
      h('h2', null, 'What if'),
      h('ul', null, wanted.map((one) => h('li', null, h('code', null, one.change), ' ',
        h('button', { 'aria-label': `Let go of ${one.change}`, onClick: () => { trial.wanted = wanted.filter((other) => other !== one); attempt(true); } }, '×')))),
      h('p', { class: 'tools' }, may('plan') && h('button', { class: 'main', onClick: () => this.keep() }, 'Keep it'), h('button', { onClick: drop }, 'Let it go')),
      h(Said, { said: trial.said }), h(Said, { said }), this.clashes(),
      !tried ? h('p', { class: 'under', role: 'status' }, 'The plan is worked out …') : h('div', { role: 'status' },
        h(Conflicts, { title: 'No longer fits', conflicts: tried.new_conflicts, attempt: tryOut }),
        tried.gone_conflicts.length > 0 && h('p', { class: 'good' }, `${tried.gone_conflicts.length} that did not fit, fit then.`),
        h(Differences, { title: 'Batches', rows: tried.differences.filter((one) => one.about === 'batch') }),
        h(Differences, { title: 'Costs and needs', rows: tried.needs.filter((one) => one.about !== 'what_if') }),
        h(Differences, { title: 'Work', rows: tried.differences.filter((one) => one.about !== 'batch' && one.about !== 'what_if') }),
        tried.differences.length + tried.needs.length === 0 && h('p', null, 'Nothing else changes.')));
  }
}
