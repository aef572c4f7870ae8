/** One work order: a box to tick, what is needed for it, and what is to be told of it. */
import { h, Component, Link, address, told } from './ui.js';
import { may, sendPhoto } from './server.js';
import { note, waiting, quoted, byWhom } from './outbox.js';
import { dayText } from './days.js';

/** What has become of an order as far as this browser knows: with what it has sent and not heard of. */
function standing(order) {
  const sent = waiting().filter((one) => one.place === order.place);
  const last = sent[sent.length - 1];
  if (last && /^withdraw /.test(last.line)) return 'open';
  if (sent.some((one) => one.line.includes(' done on '))) return 'waits';
  if (sent.some((one) => one.line.includes(' left out '))) return 'waits';
  return order.state;
}

export class Order extends Component {
  constructor(props) {
    super(props);
    this.state = { open: false, ticked: null };
  }
  done() {
    const was = standing(this.props.order);
    return this.state.ticked !== null ? this.state.ticked : ['done', 'waits', 'left out'].includes(was);
  }
  componentWillReceiveProps(next) {
    // What the server tells is newer than what was tapped.
    if (next.order.state !== this.props.order.state) this.setState({ ticked: null });
  }
  tick() {
    const { order, day } = this.props;
    if (this.done()) {
      const noted = order.noted.filter((one) => one.what === 'done' || one.what === 'left out');
      const sent = this.sent ? [this.sent] : noted.map((one) => one.id);
      note(sent.map((id) => `withdraw ${id} "ticked by mistake"`), order.place);
      this.sent = null;
      this.setState({ ticked: false });
    } else {
      [this.sent] = note([`${order.place} done on ${day}${byWhom()}`], order.place);
      this.setState({ ticked: true });
    }
  }
  render({ order }, { open }) {
    const done = this.done();
    const late = order.state === 'overdue' && !done;
    return h('article', { class: `order ${done ? 'done' : ''} ${late ? 'late' : ''}` },
      h('button', { class: 'tick', 'aria-pressed': String(done), disabled: !may('record'), onClick: () => this.tick(),
        'aria-label': `${order.title}, ${order.label}: ${done ? 'done' : 'not done'}` }, done ? (order.state === 'left out' ? '–' : '✓') : ''),
      h('div', { class: 'what' },
        h('h3', null, order.title),
        h('p', { class: 'figures' }, h('b', null, order.plants_text), order.time && h('span', null, order.time),
          h(Link, { to: address('batch', { batch: order.batch }) }, order.label), h('span', null, order.stage_title),
          order.room && h('span', null, order.room), order.parts > 1 && h('span', null, `day ${order.part} of ${order.parts}`),
          order.on_duty && h('span', null, 'on duty')),
        late && h('p', { class: 'due' }, `Due ${dayText(order.date)}; it makes sense until ${dayText(order.last)}.`),
        order.noted.map((one) => h('p', { class: 'noted', key: one.id }, `${dayText(one.day, false)}${one.by ? `, ${one.by}` : ''}: `, told(one.told, order.title))),
        order.notes.map((one) => h('p', { class: 'note' }, one)),
        h('button', { class: 'more', 'aria-expanded': String(open), onClick: () => this.setState({ open: !open }) }, open ? 'Less' : 'Details')),
      open && h(Details, { order, day: this.props.day, sent: () => this.sent, close: () => this.setState({ open: false, ticked: true }) }));
  }
}

/** What an order needs, and a form for what is to be told of it. */
class Details extends Component {
  /** The lines that say what was filled in. */
  lines(form) {
    const { order, day, sent } = this.props;
    const value = (name) => (form.get(name) || '').trim();
    const by = byWhom();
    const lines = [];
    const plants = value('plants') ? `, ${value('plants')} plants` : '';
    const time = value('time') ? `, ${timeText(value('time'))}` : '';
    const ticked = sent() || (order.noted.find((one) => one.what === 'done') || {}).id;
    if (form.get('left-out')) {
      lines.push(`${order.place} left out ${quoted(value('note') || 'not needed')} on ${day}${by}`);
    } else if (plants || time || !ticked) {
      const line = `${order.place} done on ${day}${by}${plants}${time}`;
      lines.push(ticked ? `correct ${ticked} with ${line}` : line);
    }
    const stage = `${order.batch}/${order.stage}`;
    for (const record of order.records) {
      const seen = value('seen-' + record.name);
      if (seen === '' || record.kind === 'plants') continue;
      if (record.kind === 'sight') lines.push(`${stage} ${seen === 'yes' ? 'seen' : 'not seen'} ${record.name} on ${day}${by}`);
      else lines.push(`${stage} seen ${record.name} ${/[a-z%]/.test(seen) ? seen : `${seen} ${record.unit}`} on ${day}${by}`);
    }
    if (value('counted')) lines.push(`${stage} counted ${value('counted')} on ${day}${by}`);
    if (value('lost')) lines.push(`${stage} lost ${value('lost')} plants ${value('cause') ? quoted(value('cause')) : ''} on ${day}${by}`);
    if (value('note') && !form.get('left-out')) lines.push(`${order.place} note ${quoted(value('note'))} on ${day}${by}`);
    return lines;
  }
  async send(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    const file = form.get('photo');
    if (file && file.size > 0) {
      this.setState({ sending: 'The photo is being sent.' });
      try {
        const said = (form.get('note') || '').trim();
        form.set('note', `${said}${said ? ', ' : ''}photo ${await sendPhoto(await smaller(file))}`);
      } catch (error) {
        return this.setState({ sending: `${error.lost ? 'A photo needs the network: try again when it is back, or take the photo out.' : error.message}` });
      }
    }
    note(this.lines(form), this.props.order.place);
    this.props.close();
    return undefined;
  }
  input(name, label, more = {}) {
    return h('label', { class: 'field' }, h('span', null, label), h('input', { name, autocomplete: 'off', ...more }));
  }
  record(record) {
    if (record.kind === 'plants') return null;
    if (record.kind === 'sight') {
      return h('label', { class: 'field' }, h('span', null, record.title),
        h('select', { name: 'seen-' + record.name }, h('option', { value: '' }, 'not looked'), h('option', { value: 'yes' }, 'seen'), h('option', { value: 'no' }, 'not seen')));
    }
    const hint = record.kind === 'share' ? `70 % or 16 of 20` : record.unit;
    return this.input('seen-' + record.name, record.title, { placeholder: hint });
  }
  render({ order, day }, { sending }) {
    const list = (title, items) => items.length > 0 && h('div', null, h('dt', null, title), items.map((one) => h('dd', null, one)));
    const counts = order.records.find((one) => one.kind === 'plants');
    return h('div', { class: 'details' },
      h('dl', null, list('Use', order.supplies), list('Tools', order.tools), order.settings && list('Keep', [order.settings]), list('Caution', order.cautions),
        list('Number', [order.id]), order.line && list('Written in', [`${order.line.file}, line ${order.line.line}`])),
      h('p', null, h(Link, { to: address('why', { batch: order.batch, cell: `${order.stage}.start` }) }, 'Why on this day')),
      may('record') && h('form', { onSubmit: (event) => this.send(event) },
        this.input('plants', counts ? `Plants done (${counts.name})` : 'Plants done', { inputmode: 'numeric', pattern: '[0-9]+( of [0-9]+)?', placeholder: order.plants == null ? '' : String(Math.round(order.plants)) }),
        this.input('time', 'Time of all people', { placeholder: '1:30 or 45 min' }),
        order.records.map((one) => this.record(one)),
        this.input('counted', 'Alive', { placeholder: '61 of 80' }),
        this.input('lost', 'Lost', { inputmode: 'numeric' }), this.input('cause', 'To what', { placeholder: 'damping off' }),
        this.input('note', 'Note', { class: 'wide' }),
        this.input('photo', 'Photo', { type: 'file', accept: 'image/*' }),
        h('label', { class: 'check' }, h('input', { type: 'checkbox', name: 'left-out' }), ' It will not be done (the note says why)'),
        h('button', { class: 'main' }, `Note it for ${dayText(day, false)}`), h('p', { role: 'status' }, sending)));
  }
}

/** A photo as large as it is kept, upright, as JPEG. */
async function smaller(file) {
  const most = 1600;
  const picture = await createImageBitmap(file);
  const part = Math.min(1, most / Math.max(picture.width, picture.height));
  const canvas = Object.assign(document.createElement('canvas'), { width: Math.round(picture.width * part), height: Math.round(picture.height * part) });
  canvas.getContext('2d').drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => canvas.toBlob(done, 'image/jpeg', 0.85));
}

/** "1:30" as entries say it. */
function timeText(text) {
  const clock = /^(\d+):(\d\d)$/.exec(text);
  if (clock) return `${Number(clock[1])} h ${Number(clock[2])} min`;
  return /^\d+([.,]\d+)?$/.test(text) ? `${text.replace(',', '.')} h` : text;
}
