/**
 * Changes that are tried before anybody keeps them: a list, what the engine says comes of it, and
 * what was kept, so that it can be taken back.
 *
 * @typedef {{change: string, cell: string, was: string}} Wanted   change: "BM27-1.plants=260"
 */
import { post, tell } from './server.js';

export const trial = {
  /** @type {Wanted[]} */
  wanted: [],
  values: new Map(),  // of cells, by batch and name
  tried: null,        // what the whole plan says
  said: [],
  undo: [],           // lists of changes that take something back
  redo: [],
};

export const cellKey = (batch, cell) => `${batch}|${cell}`;
const leftOf = (change) => change.slice(0, change.indexOf('='));

/** Adds a change; another of the same value is replaced. */
export function want(change, cell = '', was = '') {
  const before = trial.wanted.find((one) => leftOf(one.change) === leftOf(change));
  trial.wanted = trial.wanted.filter((one) => one !== before);
  trial.wanted.push({ change, cell, was: before ? before.was : was });
}

let latest = 0;
/** What the changes come to: of values at once, of the whole plan when `whole`. */
export async function attempt(whole) {
  const turn = ++latest;
  if (trial.wanted.length === 0) {
    Object.assign(trial, { values: new Map(), tried: null, said: [] });
    tell('trial', trial);
    return;
  }
  const answer = await post('try', { changes: trial.wanted.map((one) => one.change), whole });
  if (turn !== latest) return;
  trial.said = answer.said || [];
  if (answer.tried) {
    if (answer.tried.problem) trial.said = [{ severity: 'error', message: answer.tried.problem, advice: '' }];
    trial.values = new Map(answer.tried.cells.values.map((one) => [cellKey(one.batch, one.cell), one]));
    if (whole) trial.tried = answer.tried;
  } else {
    trial.wanted.pop();  // the last one cannot be; the others stand
  }
  tell('trial', trial);
}

/** Tries changes besides those that are tried already. */
export function tryOut(changes) {
  changes.forEach((one) => want(one));
  return attempt(true);
}

export function drop() {
  trial.wanted = [];
  attempt(false);
}

/** Writes changes into the book. Gives what the server says; clashes are shown by whoever asked. */
export async function keep(wanted, forget = true) {
  const answer = await post('keep', { changes: wanted });
  if (answer.done) {
    if (forget) {
      trial.undo.push(answer.undo);
      trial.redo = [];
    }
    tell('cells', answer.cells);
  }
  return answer;
}

export async function keepAll() {
  const answer = await keep(trial.wanted);
  if (answer.done) drop();
  return answer;
}

async function take(from, to) {
  const changes = from.pop();
  if (!changes) return null;
  const answer = await keep(changes.map((change) => ({ change, cell: '', was: '' })), false);
  if (answer.done) to.push(answer.undo);
  return answer;
}
export const undo = () => take(trial.undo, trial.redo);
export const redo = () => take(trial.redo, trial.undo);
