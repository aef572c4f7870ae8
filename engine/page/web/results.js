/** What came of the batches, techniques held against each other, what was learned. */
import { h, Loaded, Choice, address, go, whole, columnHead } from './ui.js';
import { dayText } from './days.js';

const amounts = { take: ['Started', 'Left'], rate: ['Hours', 'Plants'], days: ['', ''], cost: ['Cost', 'Good plants'] };

export class Results extends Loaded {
  ask() {
    const { of, by, first, second } = this.props.query;
    return ['results', { of, by, first, second }];
  }
  choose(words) { go(address('results', { ...this.props.query, ...words }), true); }
  compare(data) {
    if (data.groups.length < 2) return null;
    const { first, second } = this.props.query;
    const options = [['', 'choose'], ...data.groups.map((one) => [one, one])];
    return h('section', null, h('h2', null, 'Hold two against each other'),
      h('div', { class: 'chooser' }, h(Choice, { label: 'One', value: first || '', options, onChange: (name) => this.choose({ first: name }) }),
        h(Choice, { label: 'The other', value: second || '', options, onChange: (name) => this.choose({ second: name }) })),
      data.compared.map((one) => h('div', { class: 'panel' }, h('h3', null, one.title), h('p', null, h('b', null, one.answer)), one.grounds.map((ground) => h('p', null, ground)))));
  }
  table(data) {
    const [amount, result] = amounts[data.of];
    return h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Results' }, h('table', { class: 'plain' },
      h('thead', null, h('tr', null, [data.by[0].toUpperCase() + data.by.slice(1), 'Stage', ['Counts'], amount && [amount], result && [result], [data.name], '95 %', ['Usual']].filter(Boolean).map(columnHead))),
      h('tbody', null, data.rows.map((one) => h('tr', null, h('th', { scope: 'row' }, one.group), h('td', null, one.title), h('td', { class: 'number' }, one.units),
        amount && h('td', { class: 'number' }, whole(one.amount)), result && h('td', { class: 'number' }, whole(one.result)),
        h('td', { class: 'number' }, h('b', null, one.value)), h('td', null, one.interval), h('td', { class: 'number' }, one.usual))))));
  }
  show(data) {
    const query = new URLSearchParams({ of: data.of, by: data.by });
    return h('div', null, h('h1', null, 'Results'),
      h('div', { class: 'chooser' }, h(Choice, { label: 'Of', value: data.of, options: data.all_of, onChange: (of) => this.choose({ of }) }),
        h(Choice, { label: 'By', value: data.by, options: data.all_by, onChange: (by) => this.choose({ by }) })),
      data.misuse ? h('p', { class: 'alert' }, data.misuse)
        : data.rows.length === 0 ? h('p', null, 'Nothing is noted yet that this could be told from. Counts are noted under Today, or at a batch.')
          : h('div', null, this.table(data), h('p', { class: 'under' }, data.note),
            h('div', { class: 'scroll picture', tabindex: 0, role: 'region', 'aria-label': 'Picture of the results' },
              h('img', { src: `/picture/results?${query}`, alt: 'The results of the table as a dot and an interval a row' })), this.compare(data)),
      data.lessons && data.lessons.length > 0 && h('section', null, h('h2', null, 'Lessons'),
        h('ul', null, data.lessons.map((one) => h('li', null, `${dayText(one.day)}${one.by ? `, ${one.by}` : ''}, ${one.place}: ${one.words}`)))),
      data.learned && h('section', null, h('h2', null, 'What the record teaches'), h('pre', { tabindex: 0 }, data.learned)));
  }
}
