/**
 * What was noted and is not confirmed yet. It is kept in the browser, so that a phone that loses the
 * network, or is switched off, sends it later. Each entry has an id that was made here: sending one
 * twice does no harm.
 *
 * @typedef {{id: string, line: string, place: string}} Entry   place: the order that it is about
 */
import { post, tell, listen, state } from './server.js';

const kept = 'budwood.outbox';
const refusedKey = 'budwood.refused';
// As the record has them: 22 small letters that are not taken for others, then digits.
const letters = 'abcdefghjkmnpqrstvwxyz0123456789';
const firstLetters = 22;
const mostAtOnce = 50;

function stored(key) {
  try { return JSON.parse(localStorage.getItem(key)) || []; } catch (error) { return []; }
}
function store(key, entries) {
  localStorage.setItem(key, JSON.stringify(entries));
  tell('outbox', null);
}

/** 16 letters and digits that nobody else has; the first is a letter. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  while (bytes[0] % letters.length >= firstLetters) crypto.getRandomValues(bytes);
  return Array.from(bytes, (byte) => letters[byte % letters.length]).join('');
}

export const waiting = () => stored(kept);
/** Entries that the server did not take, each with `said`: why. */
export const refused = () => stored(refusedKey);
export const forget = (id) => store(refusedKey, refused().filter((one) => one.id !== id));

/** Notes lines about one order, or about none (""). Gives their ids. */
export function note(lines, place = '') {
  const entries = lines.map((line) => ({ id: newId(), line, place }));
  store(kept, waiting().concat(entries));
  send();
  return entries.map((one) => one.id);
}

let sending = false;
/** Sends what waits; what the server has, however often it was sent, waits no more. */
export async function send() {
  if (sending || waiting().length === 0) return;
  sending = true;
  try {
    while (waiting().length > 0) {
      const part = waiting().slice(0, mostAtOnce);
      const answer = await post('note', { entries: part.map(({ id, line }) => ({ id, line })) });
      const byId = new Map(answer.entries.map((one) => [one.id, one]));
      const bad = part.filter((one) => byId.get(one.id)?.state === 'refused');
      store(kept, waiting().filter((one) => !byId.has(one.id)));
      if (bad.length > 0) store(refusedKey, refused().concat(bad.map((one) => ({ ...one, said: byId.get(one.id).said }))));
      for (const one of answer.entries) tell('noted', one);
    }
  } catch (error) {
    if (!error.lost) tell('outbox-problem', error.message);
  } finally {
    sending = false;
    tell('outbox', null);
  }
}

addEventListener('online', send);
document.addEventListener('visibilitychange', send);
listen('reached', (reached) => { if (reached) send(); });
setInterval(send, 5000);

/** Who notes things here, as it is kept in this browser. */
export const whoNotes = () => localStorage.getItem('budwood.name') || '';
export const setWhoNotes = (name) => localStorage.setItem('budwood.name', name);

/** Text within quotes of an entry. */
export const quoted = (text) => `"${text.replace(/["“”]/g, "'").replace(/\s+/g, ' ').trim()}"`;
/** " by "Ana"", or nothing: who is signed in is known to the server. */
export const byWhom = () => (whoNotes() && !state.name ? ` by ${quoted(whoNotes())}` : '');
