/** The work of a day: what to tick, what to set, what to mind. */
import { h, Loaded, Component, Link, address, go, Choice } from './ui.js';
import { state, listen, may } from './server.js';
import { note, byWhom } from './outbox.js';
import { dayText, thisDay, dayAfter } from './days.js';
import { Order } from './order.js';

export class Today extends Loaded {
  ask() {
    const { day, crew, room } = this.props.query;
    return ['today', { day: day || thisDay(), crew, room }];
  }
  componentDidMount() {
    super.componentDidMount();
    this.quiet = listen('outbox', () => this.setState({}));
  }
  componentWillUnmount() {
    super.componentWillUnmount();
    this.quiet();
  }
  choose(words) {
    go(address('today', { ...this.props.query, ...words }), true);
  }
  /** Orders of a crew, or of a room, under its name. */
  groups(orders) {
    const by = this.props.query.by === 'room' ? 'room' : 'crew';
    const groups = new Map();
    for (const order of orders) {
      const name = order[by] || (by === 'crew' ? 'Anyone' : 'Without a room');
      if (!groups.has(name)) groups.set(name, []);
      groups.get(name).push(order);
    }
    return [...groups].sort(([a], [b]) => (a < b ? -1 : 1));
  }
  head(data) {
    const { crew, room, by } = this.props.query;
    const any = (names) => [['', 'all'], ...names.map((name) => [name, name])];
    return h('div', { class: 'day-head' },
      h('div', { class: 'day-line' },
        h('button', { class: 'step', 'aria-label': 'A day earlier', onClick: () => this.choose({ day: dayAfter(data.day, -1) }) }, '‹'),
        h('h1', null, dayText(data.day)),
        h('button', { class: 'step', 'aria-label': 'A day later', onClick: () => this.choose({ day: dayAfter(data.day, 1) }) }, '›')),
      h('div', { class: 'chooser' },
        h('label', { class: 'field' }, h('span', null, 'Day'),
          h('input', { type: 'date', value: data.day, onChange: (event) => event.target.value && this.choose({ day: event.target.value }) })),
        h(Choice, { label: 'Crew', value: crew || '', options: any(state.crews), onChange: (name) => this.choose({ crew: name }) }),
        h(Choice, { label: 'Room', value: room || '', options: any(state.rooms), onChange: (name) => this.choose({ room: name }) }),
        h(Choice, { label: 'In order of', value: by || 'crew', options: [['crew', 'crews'], ['room', 'rooms']], onChange: (name) => this.choose({ by: name }) })));
  }
  nothing(data) {
    return h('div', { class: 'nothing' }, h('p', null, 'Nothing is to be done on this day.'),
      data.before && h('p', null, h(Link, { class: 'button', to: address('today', { ...this.props.query, day: data.before }) }, 'Work before: ', dayText(data.before))),
      data.after && h('p', null, h(Link, { class: 'button', to: address('today', { ...this.props.query, day: data.after }) }, 'Next work: ', dayText(data.after))));
  }
  settings(data) {
    if (data.settings.length === 0) return null;
    return h('section', { class: 'settings' }, h('h2', null, 'To set'),
      h('ul', null, data.settings.map((one) => h('li', { key: one.id }, h('b', null, one.place), ': ', one.changes,
        one.by_timer && ' (the timer does it)', one.whom && h('span', { class: 'under' }, ` for ${one.whom}`)))));
  }
  makings(data) {
    if (data.makings.length === 0) return null;
    return h('section', { class: 'makings' }, h('h2', null, 'To make'), data.makings.map((one) => h(Making, { key: one.id, one, day: data.day })));
  }
  show(data) {
    const overdue = data.earlier.filter((one) => one.state === 'overdue');
    const quiet = data.earlier.filter((one) => one.state !== 'overdue');
    const card = (order) => h(Order, { key: order.id, order, day: data.day });
    return h('div', null, this.head(data),
      data.cautions.length > 0 && h('details', { class: 'cautions', open: innerWidth > 700 },
        h('summary', null, `Cautions of the day (${data.cautions.length})`),
        h('ul', null, data.cautions.map((one) => h('li', null, one)))),
      overdue.length > 0 && h('section', { class: 'overdue' }, h('h2', null, `Overdue (${data.overdue_count})`), overdue.map(card)),
      data.orders.length === 0 && data.settings.length === 0 && data.makings.length === 0 && this.nothing(data),
      this.makings(data),
      this.settings(data),
      this.groups(data.orders).map(([name, orders]) => h('section', { key: name }, h('h2', null, name), orders.map(card))),
      quiet.length > 0 && h('details', { class: 'earlier' },
        h('summary', null, `Before this day, and nobody noted it (${data.quiet_count})`), quiet.map(card)));
  }
}

/** Something that is made for the work of this day or of later ones. Made, it is stock that came in. */
class Making extends Component {
  made() {
    const { one, day } = this.props;
    const name = /\s/.test(one.supply) ? `"${one.supply}"` : one.supply;
    note([`stock ${name} came in ${one.amount} on ${day}${byWhom()}`]);
    this.setState({ noted: true });
  }
  render({ one }, { noted }) {
    const list = (label, texts) => texts.length > 0 && h('div', null, h('b', null, `${label} `), texts.join('; '));
    return h('article', { class: 'making' },
      h('div', { class: 'title' }, h('b', null, one.title), one.time && ` ${one.time}`, one.crew && h('span', { class: 'under' }, ` crew ${one.crew}`)),
      list('Use', one.supplies), list('For', one.uses), list('Tools', one.tools),
      one.notes.map((text) => h('div', { class: 'under' }, text)),
      may('record') && (noted ? h('span', { role: 'status', class: 'under' }, 'Noted as made') : h('button', { onClick: () => this.made() }, 'Made')));
  }
}
