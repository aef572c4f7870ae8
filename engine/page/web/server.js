/** What is asked of the server, and what it tells by itself. */

import { openStream } from './stream.js';

/** What all views know: the site, who is here. */
export const state = { token: '', role: 'look', name: '', rooms: [], crews: [] };

const listeners = new Map();
/** Calls `then` whenever something of that name is told; what comes back ends that. */
export function listen(name, then) {
  if (!listeners.has(name)) listeners.set(name, new Set());
  listeners.get(name).add(then);
  return () => listeners.get(name).delete(then);
}
export function tell(name, data) {
  for (const then of listeners.get(name) || []) then(data);
}

/** Something that the server does not do, in words for people. */
class Refusal extends Error {
  constructor(answer, body) {
    super(body.problem || 'This did not work.');
    this.status = answer.status;
    this.body = body;
    this.missing = answer.status === 404;
  }
}

async function read(answer) {
  let body = {};
  try { body = await answer.json(); } catch (error) { body = {}; }
  if (body.sign_in) tell('sign-in', null);
  if (!answer.ok && answer.status !== 409) throw new Refusal(answer, body);
  return body;
}

async function ask(path, options) {
  let answer;
  try {
    answer = await fetch(path, options);
  } catch (error) {
    tell('reached', false);
    askAgain();
    const lost = new Error('The network is gone. What you note is kept and sent later.');
    lost.lost = true;
    throw lost;
  }
  tell('reached', true);
  return read(answer);
}

let asking = 0;
/** Asks until the server is there again. */
function askAgain() {
  clearTimeout(asking);
  asking = setTimeout(() => learn().catch(() => {}), 3000);
}

/** The data of a view. */
export function get(name, words = {}) {
  const query = new URLSearchParams();
  for (const [key, value] of Object.entries(words)) if (value !== '' && value != null) query.set(key, value);
  return ask(`/api/${name}?${query}`, { headers: { Accept: 'application/json' } });
}

/** Sends a picture as it is; gives the name under which it is kept. */
export async function sendPhoto(blob, again = true) {
  try {
    const answer = await ask('/api/photo', { method: 'POST', headers: { 'Content-Type': 'image/jpeg', 'X-Token': state.token || 'none' }, body: blob });
    return answer.photo;
  } catch (error) {
    if (!again || !error.body || !error.body.stale) throw error;
    await learn();
    return sendPhoto(blob, false);
  }
}

/** Has something done. A window that is out of date learns its token anew and tries once more. */
export async function post(name, body, again = true) {
  try {
    return await ask('/api/' + name, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', 'X-Token': state.token || 'none' },
      body: JSON.stringify(body),
    });
  } catch (error) {
    if (!again || !error.body || !error.body.stale) throw error;
    await learn();
    return post(name, body, false);
  }
}

/** Asks for what all views know. */
export async function learn() {
  Object.assign(state, await get('state'));
  tell('state', state);
}

const calm = 1000;  // milliseconds
let last = 0;
let later = 0;
/** Has all asked for anew: at once, but not over and over while many people note things. */
function anew() {
  clearTimeout(later);
  later = setTimeout(() => {
    last = Date.now();
    learn().then(() => tell('planned', null), () => {});
  }, Math.max(0, last + calm - Date.now()));
}

let stream = null;
/** Listens to what the server tells by itself. */
export function connect() {
  if (stream) return stream.open();
  stream = openStream((name, data) => {
    if (name === 'missed' || (name === 'turn' && data !== state.turn)) return anew();
    if (name === 'planned') {
      tell('behind', false);
      return anew();
    }
    tell(name, name === 'behind' ? true : data);
  });
}

let known = { turn: -1, batches: [] };
/** Every batch, to choose from: {id, label, title}. */
export async function batches() {
  if (known.turn !== state.turn) known = await get('batches');
  return known.batches;
}

export const may = (role) => ['look', 'record', 'plan'].indexOf(state.role) >= ['look', 'record', 'plan'].indexOf(role);
