/** What to buy by when, and what is there. */
import { h, Loaded, Component, Link, address, columnHead } from './ui.js';
import { may } from './server.js';
import { note, byWhom } from './outbox.js';
import { dayText, thisDay } from './days.js';

/** A table with a heading of its own. */
function plainTable(title, heads, rows) {
  return h('div', null, h('h2', null, title),
    h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': title }, h('table', { class: 'plain' },
      h('thead', null, h('tr', null, heads.map(columnHead))), h('tbody', null, rows))));
}

/** The shopping list, supplier by supplier. */
function deliveries(all, notes, currency) {
  return h('div', null, plainTable('Deliveries', ['From', 'Order by', 'Arrives', 'What', ['How much'], [`Cost ${currency}`], 'Lasts until'], all.map((one, at) => h('tr', { key: at, class: one.late ? 'late' : '' },
    h('th', { scope: 'row' }, at > 0 && all[at - 1].from === one.from ? '' : one.from),
    h('td', { class: 'whole' }, one.order_by && dayText(one.order_by), one.late && h('b', { class: 'sign' }, ' late')),
    h('td', { class: 'whole' }, dayText(one.arrives)), h('td', null, one.title), h('td', { class: 'number' }, one.amount),
    h('td', { class: 'number' }, one.cost), h('td', { class: 'whole' }, dayText(one.last))))),
  notes.map((text) => h('p', { key: text }, text)));
}

/** What is taken of each lot of seed, plants or powder, and what is left. */
function lots(all) {
  return plainTable('Lots', ['Lot', 'Test', 'Use by', ['There'], 'Taken', ['Left']], all.map((one) => h('tr', { key: one.lot },
    h('th', { scope: 'row' }, one.lot, h('span', { class: 'under' }, ` ${one.title}`)), h('td', { class: 'whole' }, one.test),
    h('td', { class: 'whole' }, one.use_by && dayText(one.use_by)), h('td', { class: 'number' }, one.count),
    h('td', { class: 'whole' }, one.taken.map((part) => h('div', null, `${dayText(part.day)} `, h(Link, { to: address('batch', { batch: part.batch }) }, part.batch), `: ${part.amount}`))),
    h('td', { class: 'number' }, one.left))));
}

/** What rooms take in heat, and their lamps. */
function energy(lines, money) {
  return plainTable('Heat and lamps', ['Room', 'For', ['Lamps burn'], ['Energy'], [money]], lines.map((one) => h('tr', { key: one.room + one.what },
    h('th', { scope: 'row' }, one.room), h('td', { class: 'whole' }, one.what),
    h('td', { class: 'number' }, one.hours === null ? '' : `${one.hours} h`), h('td', { class: 'number' }, one.amount),
    h('td', { class: 'number' }, one.cost ?? '-'))));
}

/** What mother plants give, and what batches take of it. */
function mothers(weeks) {
  return plainTable('Mother plants', ['Mother plants', 'Week', ['There'], ['Taken'], ['Left'], ['Missing']], weeks.map((one) => h('tr', { key: one.mothers + one.week },
    h('th', { scope: 'row' }, one.mothers), h('td', { class: 'whole' }, one.week),
    [one.there, one.taken, one.left].map((number) => h('td', { class: 'number' }, number)),
    h('td', { class: 'number' }, one.missing > 0 && h('b', { class: 'sign' }, one.missing)))));
}

/** Plants that are ready already, and which batches take them. */
function finished(all) {
  return plainTable('Finished plants', ['Finished plants', 'Of', 'Until', ['There'], 'Taken by', ['Left']], all.map((one) => h('tr', { key: one.name },
    h('th', { scope: 'row' }, one.name), h('td', null, one.of), h('td', { class: 'whole' }, one.until && dayText(one.until)),
    h('td', { class: 'number' }, one.plants),
    h('td', { class: 'whole' }, one.taken.map((part) => h('div', null, h(Link, { to: address('batch', { batch: part.batch }) }, part.batch), `: ${part.plants}`))),
    h('td', { class: 'number' }, one.left))));
}

export class Needs extends Loaded {
  ask() { return ['needs', {}]; }
  row(one, currency) {
    const buy = one.purchase;
    return h('tr', { key: one.name, class: buy && buy.late ? 'late' : '' },
      h('th', { scope: 'row' }, one.title, one.reused && h('span', { class: 'under' }, ' comes back')),
      h('td', { class: 'number' }, one.amount), h('td', { class: 'number' }, one.on_hand),
      h('td', null, buy ? [h('b', null, buy.amount), buy.packs > 0 ? ` (${buy.packs} ${buy.packs === 1 ? 'pack' : 'packs'})` : '', buy.cost ? `, ${buy.cost} ${currency}` : ''] : one.made ? `${one.made} made here` : 'enough'),
      h('td', null, buy && buy.order_by && [dayText(buy.order_by), buy.late && h('b', { class: 'sign' }, ' late')]),
      h('td', null, buy && [dayText(buy.missing_on), ' ', h(Link, { to: address('batch', { batch: buy.missing_batch }) }, buy.missing_batch),
        buy.late && buy.comes && h('span', { class: 'under' }, ` comes on ${dayText(buy.comes)}; short: ${buy.short}`)]),
      may('record') && h('td', null, h(Stock, { supply: one })));
  }
  show(data) {
    const late = (one) => (one.purchase ? (one.purchase.late ? 0 : 1) : 2);
    const by = (one) => (one.purchase && one.purchase.order_by) || '9999';
    const supplies = data.supplies.slice().sort((a, b) => late(a) - late(b) || (by(a) < by(b) ? -1 : by(a) > by(b) ? 1 : 0));
    const short = data.crews.filter((one) => one.overloads.length > 0);
    return h('div', null, h('h1', null, 'Needs'),
      h('p', null, `All batches cost ${data.cost} ${data.currency}`, !data.cost_complete && ', without what has no price', '.'),
      h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Supplies' }, h('table', { class: 'plain needs' },
        h('thead', null, h('tr', null, ['Supply', ['Needed'], ['There'], 'To buy', 'Order by', 'Missing on'].map(columnHead),
          may('record') && h('th', { scope: 'col' }, 'Counted'))),
        h('tbody', null, supplies.map((one) => this.row(one, data.currency))))),
      data.deliveries.length > 0 && deliveries(data.deliveries, data.delivery_notes, data.currency),
      data.lots.length > 0 && lots(data.lots),
      data.energy.length > 0 && energy(data.energy, data.currency ? `Cost ${data.currency}` : 'Cost'),
      data.mothers.length > 0 && mothers(data.mothers),
      data.finished.length > 0 && finished(data.finished),
      h('h2', null, 'People'),
      h('ul', { class: 'plain-list' }, data.crews.map((one) => h('li', null, h('b', null, one.name), `: ${one.hours}`))),
      short.length > 0 && h('div', null, h('h2', null, 'Days on which a crew is short'),
        h('ul', { class: 'plain-list' }, short.map((crew) => crew.overloads.slice(0, 30).map((one) => h('li', null, h(Link, { to: address('today', { day: one.day }) }, dayText(one.day)),
          ` ${crew.name}: ${one.wanted} wanted, ${one.there} there, for ${one.batches}`))))));
  }
}

/** What somebody has counted of a supply. */
class Stock extends Component {
  send(event) {
    event.preventDefault();
    const { supply } = this.props;
    const text = new FormData(event.target).get('amount').trim();
    if (!text) return;
    const amount = /[^0-9.,\s]/.test(text) ? text : `${text} ${supply.unit}`.trim();
    note([`stock ${supply.name} ${amount} on hand on ${thisDay()}${byWhom()}`]);
    event.target.reset();
    this.setState({ sent: amount });
  }
  render({ supply }, { sent }) {
    return h('form', { class: 'stock', onSubmit: (event) => this.send(event) },
      h('input', { name: 'amount', size: 7, 'aria-label': `${supply.title}: counted`, placeholder: supply.unit, autocomplete: 'off' }), h('button', null, 'Note'),
      sent && h('span', { role: 'status', class: 'under' }, ` ${sent} noted`));
  }
}
