/** What is asked of the server, and what it tells by itself. */

/** What all views know: the site, its batches, who is here. */
export const state = { token: '', role: 'look', name: '', batches: [], rooms: [], crews: [] };

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
    const lost = new Error('The network is gone. What you note is kept and sent later.');
    lost.lost = true;
    throw lost;
  }
  tell('reached', true);
  return read(answer);
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

let stream = null;
/** Listens to what the server tells by itself: one stream for the whole window. */
export function connect() {
  if (stream) stream.close();
  stream = new EventSource('/api/events');
  let lost = false;
  stream.onopen = () => {
    tell('reached', true);
    if (lost) learn().then(() => tell('planned', null), () => {});
    lost = false;
  };
  stream.onerror = () => { lost = true; tell('reached', false); };
  stream.addEventListener('behind', () => tell('behind', true));
  stream.addEventListener('planned', () => {
    tell('behind', false);
    learn().then(() => tell('planned', null), () => {});
  });
  stream.addEventListener('cells', (event) => tell('cells', JSON.parse(event.data)));
}

export const may = (role) => ['look', 'record', 'plan'].indexOf(state.role) >= ['look', 'record', 'plan'].indexOf(role);
