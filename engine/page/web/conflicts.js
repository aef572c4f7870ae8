/** What keeps a plan from being carried out, why, and what would help. */
import { h, Link, address } from './ui.js';
import { may } from './server.js';

const cures = [['-7', '1 week earlier'], ['-2', '2 days earlier'], ['+2', '2 days later'], ['+7', '1 week later']];

/** The date in words of a cure: "by Fri 2027-05-14". */
const isoIn = (text) => (/\d{4}-\d{2}-\d{2}/.exec(text) || [null])[0];

/** The change that a cure asks for, as far as it is one of the batch's date. */
export function changeOf(conflict, repair) {
  const day = isoIn(repair);
  if (!day) return null;
  if (/^Have it ready/.test(repair)) return `${conflict.batch}.ready=${day}`;
  if (/^Let the batch start/.test(repair)) return `${conflict.batch}.not_before=${day}`;
  return null;
}

/** `attempt(changes)` tries changes out; without it cures are told and not tried. */
export function Conflicts({ conflicts, attempt, title = 'Does not fit' }) {
  if (!conflicts || conflicts.length === 0) return null;
  return h('section', { class: 'conflicts' }, h('h2', null, `${title} (${conflicts.length})`),
    h('ul', null, conflicts.map((one) => h('li', { key: one.batch + one.message },
      h('p', null, one.batch && h(Link, { to: address('batch', { batch: one.batch }) }, one.batch), one.batch && ': ', one.message),
      one.facts.length > 0 && h('details', null, h('summary', null, 'What it rests on'),
        h('ul', null, one.facts.map((fact) => h('li', null, fact.text, fact.place && h('span', { class: 'place' }, ` (${fact.place.file}, line ${fact.place.line})`))))),
      one.repairs.length > 0 && h('p', null, 'This would help:'),
      h('ul', { class: 'cures' }, one.repairs.map((text) => {
        const change = changeOf(one, text);
        return h('li', null, text, ' ', change && attempt && h('button', { onClick: () => attempt([change]) }, 'Try it'));
      })),
      attempt && may('look') && one.batch && h('p', { class: 'tools' }, `Try ${one.batch}: `,
        cures.map(([, words]) => h('button', { onClick: () => attempt([`${one.batch}.ready=${words}`]) }, words)))))));
}
