/** What keeps a plan from being carried out, why, and what would help. */
import { h, Link, Place, address, marked } from './ui.js';

const moves = ['1 week earlier', '2 days earlier', '2 days later', '1 week later'];

/** What would help: the engine says it in words and, where it is a change of a batch, as the change that is tried. */
function Cure({ cure, attempt }) {
  return h('li', null, marked(cure.text), ' ', cure.change && attempt &&
    h('button', { 'aria-label': `Try it: ${cure.change}`, onClick: () => attempt([cure.change]) }, 'Try it'));
}

/** `attempt(changes)` tries changes out; without it cures are told and not tried. */
export function Conflicts({ conflicts, attempt, title = 'Does not fit' }) {
  if (!conflicts || conflicts.length === 0) return null;
  return h('section', { class: 'conflicts' }, h('h2', null, `${title} (${conflicts.length})`),
    h('ul', null, conflicts.map((one) => h('li', { key: one.batch + one.message },
      h('p', null, one.batch && h(Link, { to: address('batch', { batch: one.batch }) }, one.batch), one.batch && ': ', marked(one.message), h(Place, { place: one.place })),
      one.facts.length > 0 && h('details', null, h('summary', null, 'What it rests on'),
        h('ul', null, one.facts.map((fact) => h('li', null, marked(fact.text), h(Place, { place: fact.place }))))),
      one.repairs.length > 0 && h('p', null, 'This would help:'),
      h('ul', { class: 'cures' }, one.repairs.map((cure) => h(Cure, { cure, attempt }))),
      attempt && one.key && h('p', { class: 'tools' }, `Try ${one.batch}: `,
        moves.map((words) => h('button', { onClick: () => attempt([`${one.batch}.${one.key}=${words}`]) }, words)))))));
}
